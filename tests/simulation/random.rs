//! A small seeded source of chance: PCG32, so that equal seeds give equal days everywhere.
//!
//! In: a seed. Out: numbers. Never a clock, never the operating system's chance.
//! Source: O'Neill, "PCG: A Family of Simple Fast Space-Efficient Statistically Good
//! Algorithms for Random Number Generation" (2014), the XSH RR variant.

const MULTIPLIER: u64 = 6_364_136_223_846_793_005;
/// The stream of the reference implementation's demonstration, which the checks repeat.
const STREAM: u64 = 54;

/// One stream of numbers.
#[derive(Debug, Clone)]
pub struct Chance {
    state: u64,
    increment: u64,
}

impl Chance {
    pub fn new(seed: u64) -> Self {
        let mut chance = Self { state: 0, increment: (STREAM << 1) | 1 };
        chance.next_u32();
        chance.state = chance.state.wrapping_add(seed);
        chance.next_u32();
        chance
    }

    pub fn next_u32(&mut self) -> u32 {
        let old = self.state;
        self.state = old.wrapping_mul(MULTIPLIER).wrapping_add(self.increment);
        let xored = (((old >> 18) ^ old) >> 27) as u32;
        xored.rotate_right((old >> 59) as u32)
    }

    /// Even in 0 to 1, the 1 excluded.
    pub fn share(&mut self) -> f64 {
        f64::from(self.next_u32()) / 4_294_967_296.0
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Even on a logarithmic scale; both ends above zero.
    pub fn between_log(&mut self, low: f64, high: f64) -> f64 {
        libm::exp(self.between(libm::log(low), libm::log(high)))
    }

    /// True this share of the times.
    pub fn happens(&mut self, share: f64) -> bool {
        self.share() < share
    }

    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        let at = (self.share() * from.len() as f64) as usize;
        from[at.min(from.len() - 1)]
    }

    /// Standard normal, by Box and Muller (1958).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * libm::log(1.0 - self.share())).sqrt();
        radius * libm::cos(std::f64::consts::TAU * self.share())
    }
}
