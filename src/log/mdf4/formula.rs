//! Algebraic conversions: a formula in one variable, `X`.
//!
//! In: text such as `(X - 40) * 1.8 + 32`. Out: a [`Formula`], or `None` for
//! anything but numbers, `X`, `+ - * / ^`, brackets and the common functions.
//! Bounded in length and depth; it can do nothing but arithmetic.

/// Steps of a stack machine, ready to run.
#[derive(Debug, Clone)]
pub struct Formula {
    steps: Vec<Step>,
}

#[derive(Debug, Clone, Copy)]
enum Step {
    X,
    Number(f64),
    Two(u8),
    Negate,
    Call(fn(f64) -> f64),
}

const LONGEST: usize = 500;
const DEEPEST: usize = 30;

impl Formula {
    pub fn parse(text: &str) -> Option<Formula> {
        if text.len() > LONGEST {
            return None;
        }
        let mut parser = Parser { rest: text, steps: Vec::new() };
        parser.sum(0)?;
        parser.rest.trim().is_empty().then_some(Formula { steps: parser.steps })
    }

    pub fn value(&self, x: f64) -> Option<f64> {
        let mut stack: Vec<f64> = Vec::with_capacity(8);
        for step in &self.steps {
            let top = match *step {
                Step::X => x,
                Step::Number(number) => number,
                Step::Negate => -stack.pop()?,
                Step::Call(function) => function(stack.pop()?),
                Step::Two(sign) => {
                    let (right, left) = (stack.pop()?, stack.pop()?);
                    match sign {
                        b'+' => left + right,
                        b'-' => left - right,
                        b'*' => left * right,
                        b'/' => left / right,
                        _ => libm::pow(left, right),
                    }
                }
            };
            stack.push(top);
        }
        stack.pop()
    }
}

struct Parser<'a> {
    rest: &'a str,
    steps: Vec<Step>,
}

impl Parser<'_> {
    fn next_is(&mut self, signs: &str) -> Option<u8> {
        self.rest = self.rest.trim_start();
        let sign = self.rest.chars().next().filter(|c| signs.contains(*c))?;
        self.rest = &self.rest[sign.len_utf8()..];
        u8::try_from(sign).ok()
    }

    fn sum(&mut self, depth: usize) -> Option<()> {
        self.product(depth)?;
        while let Some(sign) = self.next_is("+-") {
            self.product(depth)?;
            self.steps.push(Step::Two(sign));
        }
        Some(())
    }

    fn product(&mut self, depth: usize) -> Option<()> {
        self.power(depth)?;
        while let Some(sign) = self.next_is("*/") {
            self.power(depth)?;
            self.steps.push(Step::Two(sign));
        }
        Some(())
    }

    fn power(&mut self, depth: usize) -> Option<()> {
        if self.next_is("-").is_some() {
            self.power((depth < DEEPEST).then_some(depth + 1)?)?;
            self.steps.push(Step::Negate);
            return Some(());
        }
        self.atom(depth)?;
        if let Some(sign) = self.next_is("^") {
            self.power((depth < DEEPEST).then_some(depth + 1)?)?;
            self.steps.push(Step::Two(sign));
        }
        Some(())
    }

    fn atom(&mut self, depth: usize) -> Option<()> {
        if self.next_is("(").is_some() {
            self.sum((depth < DEEPEST).then_some(depth + 1)?)?;
            return self.next_is(")").map(|_| ());
        }
        self.rest = self.rest.trim_start();
        if self.rest.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
            let (value, used) = fast_float2::parse_partial::<f64, _>(self.rest).ok()?;
            self.rest = self.rest.get(used..)?;
            self.steps.push(Step::Number(value));
            return Some(());
        }
        self.word(depth)
    }

    fn word(&mut self, depth: usize) -> Option<()> {
        let end = self.rest.find(|c: char| !c.is_ascii_alphanumeric()).unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(end);
        let function: fn(f64) -> f64 = match word.to_ascii_lowercase().as_str() {
            "x" | "x1" => {
                self.rest = rest;
                self.steps.push(Step::X);
                return Some(());
            }
            "sqrt" => f64::sqrt,
            "abs" => f64::abs,
            "exp" => libm::exp,
            "ln" | "log" => libm::log,
            "log10" => libm::log10,
            "sin" => libm::sin,
            "cos" => libm::cos,
            "tan" => libm::tan,
            _ => return None,
        };
        self.rest = rest;
        self.next_is("(")?;
        self.sum((depth < DEEPEST).then_some(depth + 1)?)?;
        self.next_is(")")?;
        self.steps.push(Step::Call(function));
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_follow_the_rules_of_algebra() {
        let at = |text: &str, x: f64| Formula::parse(text).and_then(|formula| formula.value(x));
        assert_eq!(at("(X - 40) * 1.8 + 32", 60.0), Some(68.0));
        assert_eq!(at("2+3*X^2", 2.0), Some(14.0));
        assert_eq!(at("-X^2", 3.0), Some(-9.0));
        assert_eq!(at("sqrt(X)/2", 16.0), Some(2.0));
        for bad in ["", "X +", "system(X)", "(X", "1 2", "Y", &"(".repeat(400)] {
            assert_eq!(at(bad, 1.0), None, "{bad}");
        }
    }
}
