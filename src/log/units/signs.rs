//! One form for the many ways a unit's signs are typed.

use std::borrow::Cow;

use crate::log::plain;

/// One form for the many ways a sign is typed: `(m/s^2)`, `m/s²`, `[m s-2]`, `Â°C`.
pub fn tidy(text: &str) -> String {
    let mut tidy = String::with_capacity(text.len());
    for c in plain::name(&without_commands(text)).chars() {
        match c {
            '[' | ']' | '(' | ')' | '{' | '}' | '<' | '>' | ' ' | '^' => {}
            // What UTF-8 read as Latin-1 leaves in front of a sign.
            'Â' => {}
            '²' => tidy.push('2'),
            '³' => tidy.push('3'),
            'º' | '˚' | '∘' => tidy.push('°'),
            'µ' | 'μ' => tidy.push('u'),
            '·' | '⋅' | '*' | '•' => tidy.push('.'),
            '×' => tidy.push('x'),
            '’' => tidy.push('\''),
            '⁻' | '−' => tidy.push('-'),
            '¹' => tidy.push('1'),
            '℃' => tidy.push_str("°c"),
            '℉' => tidy.push_str("°f"),
            // Full-width letters and signs, as Japanese programs write them.
            '！'..='～' => {
                tidy.extend(plain::narrow(c).to_lowercase().filter(|c| !is_bracket(*c)))
            }
            _ => tidy.extend(c.to_lowercase()),
        }
    }
    tidy.trim_end_matches('.').to_owned()
}

fn is_bracket(c: char) -> bool {
    matches!(c, '[' | ']' | '(' | ')' | '{' | '}' | '<' | '>')
}

/// Signs as typesetters write them: `$km \cdot h^{-1}$`, `$^{\circ}C$`.
fn without_commands(text: &str) -> Cow<'_, str> {
    const COMMANDS: [(&str, &str); 7] = [
        ("\\cdot", "."),
        ("\\circ", "°"),
        ("\\degree", "°"),
        ("\\mathrm", ""),
        ("\\text", ""),
        ("\\%", "%"),
        ("$", ""),
    ];
    if !text.contains(['$', '\\']) {
        return text.into();
    }
    let plain = |text: String, (command, sign): &(&str, &str)| text.replace(*command, sign);
    COMMANDS.iter().fold(text.to_owned(), plain).into()
}
