//! A linear Gaussian filter with fixed-interval smoothing over scalar readings.
//!
//! In: a chain of steps, each a transition and any number of scalar readings.
//! Out: the belief (mean and covariance) after each step given *all* readings, and
//! the log-likelihood of the readings.
//!
//! Method: Kalman filter, one scalar reading at a time; backward pass of Bryson and
//! Frazier as modified by Bierman, which is equal to Rauch-Tung-Striebel but
//! inverts nothing, so that states known exactly do no harm.
//!
//! Source: Bierman, Fixed interval smoothing with discrete measurements, Int. J.
//! Control 18 (1973) 65; Rauch, Tung, Striebel, AIAA J. 3 (1965) 1445 (both from
//! memory). Checked below against
//! the recursions worked by hand.

/// A square matrix of the state's size, row by row.
pub type Matrix<const N: usize> = [[f64; N]; N];

/// Mean and covariance of the state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief<const N: usize> {
    pub mean: [f64; N],
    pub cov: Matrix<N>,
}

/// A scalar reading: `value = offset + row · state + noise` with variance `var`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading<const N: usize> {
    pub row: [f64; N],
    pub value: f64,
    pub var: f64,
}

/// One step of the chain: first the move, `transition` times the state plus `push`, then the readings at its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Step<const N: usize> {
    pub transition: Matrix<N>,
    /// Added to the state: what is known to push it.
    pub push: [f64; N],
    pub noise: Matrix<N>,
    pub readings: Vec<Reading<N>>,
}

/// What an update did: needed again on the way back.
#[derive(Debug, Clone, Copy)]
struct Update<const N: usize> {
    row: [f64; N],
    gain: [f64; N],
    innovation: f64,
    var: f64,
}

/// The filter's forward pass over a chain.
#[derive(Debug, Clone)]
pub struct Filtered<const N: usize> {
    beliefs: Vec<Belief<N>>,
    updates: Vec<Vec<Update<N>>>,
    /// Sum of the log densities of the readings.
    pub log_likelihood: f64,
}

impl<const N: usize> Filtered<N> {
    /// The belief after each step given the readings up to it.
    pub fn beliefs(&self) -> &[Belief<N>] {
        &self.beliefs
    }
}

/// Runs the filter forward. `start` is the belief before the first step.
pub fn filter<const N: usize>(start: Belief<N>, steps: &[Step<N>]) -> Filtered<N> {
    let mut belief = start;
    let mut beliefs = Vec::with_capacity(steps.len());
    let mut updates = Vec::with_capacity(steps.len());
    let mut log_likelihood = 0.0;
    for step in steps {
        belief = predict(&belief, step);
        let mut done = Vec::with_capacity(step.readings.len());
        for reading in &step.readings {
            let update = update(&mut belief, reading);
            log_likelihood -= 0.5
                * (libm::log(core::f64::consts::TAU * update.var)
                    + update.innovation * update.innovation / update.var);
            done.push(update);
        }
        beliefs.push(belief);
        updates.push(done);
    }
    Filtered { beliefs, updates, log_likelihood }
}

/// Runs back over a filtered chain: each belief given all readings.
pub fn smooth<const N: usize>(steps: &[Step<N>], filtered: &Filtered<N>) -> Vec<Belief<N>> {
    let mut smoothed = filtered.beliefs.clone();
    let mut slope = [0.0; N];
    let mut curve = [[0.0; N]; N];
    for (k, step) in steps.iter().enumerate().rev() {
        let belief = &filtered.beliefs[k];
        let shift = apply(&belief.cov, &slope);
        for (mean, shift) in smoothed[k].mean.iter_mut().zip(shift) {
            *mean -= shift;
        }
        let shrink = around(&belief.cov, &curve);
        for (row, shrink) in smoothed[k].cov.iter_mut().zip(shrink) {
            row.iter_mut().zip(shrink).for_each(|(c, s)| *c -= s);
        }
        for update in filtered.updates[k].iter().rev() {
            undo(update, &mut slope, &mut curve);
        }
        let back = transpose(&step.transition);
        slope = apply(&back, &slope);
        curve = around(&back, &curve);
    }
    smoothed
}

fn predict<const N: usize>(belief: &Belief<N>, step: &Step<N>) -> Belief<N> {
    let mut cov = around(&step.transition, &belief.cov);
    for (row, noise) in cov.iter_mut().zip(&step.noise) {
        row.iter_mut().zip(noise).for_each(|(c, n)| *c += n);
    }
    let moved = apply(&step.transition, &belief.mean);
    Belief { mean: core::array::from_fn(|i| moved[i] + step.push[i]), cov }
}

/// One scalar reading costs N² operations, and the covariance stays symmetric to the bit.
fn update<const N: usize>(belief: &mut Belief<N>, reading: &Reading<N>) -> Update<N> {
    let spread = apply(&belief.cov, &reading.row);
    let var = dot(&reading.row, &spread) + reading.var;
    let gain = spread.map(|s| s / var);
    let innovation = reading.value - dot(&reading.row, &belief.mean);
    for (mean, gain) in belief.mean.iter_mut().zip(gain) {
        *mean += gain * innovation;
    }
    for (row, s) in belief.cov.iter_mut().zip(spread) {
        row.iter_mut().zip(spread).for_each(|(c, t)| *c -= s * t / var);
    }
    Update { row: reading.row, gain, innovation, var }
}

/// Takes an update back out of the adjoints: `slope` and `curve` before it from those
/// after it, with `I - gain row'` multiplied out.
fn undo<const N: usize>(update: &Update<N>, slope: &mut [f64; N], curve: &mut Matrix<N>) {
    let Update { row, gain, innovation, var } = update;
    let along = dot(gain, slope) + innovation / var;
    slope.iter_mut().zip(row).for_each(|(s, r)| *s -= r * along);
    let bent = apply(curve, gain);
    let weight = dot(gain, &bent) + 1.0 / var;
    for (i, line) in curve.iter_mut().enumerate() {
        for (j, c) in line.iter_mut().enumerate() {
            *c += row[i] * row[j] * weight - row[i] * bent[j] - bent[i] * row[j];
        }
    }
}

fn dot<const N: usize>(a: &[f64; N], b: &[f64; N]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn apply<const N: usize>(m: &Matrix<N>, x: &[f64; N]) -> [f64; N] {
    core::array::from_fn(|i| dot(&m[i], x))
}

/// `m inner m'`. Transitions are sparse, so that most products are by zero.
fn around<const N: usize>(m: &Matrix<N>, inner: &Matrix<N>) -> Matrix<N> {
    let half = transpose(&sparse_times(m, inner));
    sparse_times(m, &half)
}

fn sparse_times<const N: usize>(sparse: &Matrix<N>, b: &Matrix<N>) -> Matrix<N> {
    let mut product = [[0.0; N]; N];
    for (row, a) in product.iter_mut().zip(sparse) {
        for (&a, b) in a.iter().zip(b) {
            if a != 0.0 {
                row.iter_mut().zip(b).for_each(|(p, b)| *p += a * b);
            }
        }
    }
    product
}

fn transpose<const N: usize>(m: &Matrix<N>) -> Matrix<N> {
    core::array::from_fn(|i| core::array::from_fn(|j| m[j][i]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// v+ = v + a dt; a = 7, dt 0.1, q 0.01, r 0.04, v0 0, P0 0.01, z = 0.7, 1.5, 2.1.
    /// The known input a dt is carried as a second state that never varies.
    fn worked_case() -> (Belief<2>, Vec<Step<2>>) {
        let start = Belief { mean: [0.0, 7.0], cov: [[0.01, 0.0], [0.0, 0.0]] };
        let step = |value, dt, noise| Step {
            transition: [[1.0, dt], [0.0, 1.0]],
            push: [0.0; 2],
            noise: [[noise, 0.0], [0.0, 0.0]],
            readings: vec![Reading { row: [1.0, 0.0], value, var: 0.04 }],
        };
        (start, vec![step(0.7, 0.1, 0.01), step(1.5, 0.1, 0.01), step(2.1, 0.1, 0.01)])
    }

    /// Source: the textbook recursions of Kalman and of Rauch, Tung and Striebel,
    /// worked apart from this code with numpy; its digits vouch for 1e-6 and 1e-8.
    #[test]
    fn filter_and_smoother_agree_with_the_worked_case() {
        let (start, steps) = worked_case();
        let filtered = filter(start, &steps);
        let smoothed = smooth(&steps, &filtered);
        let rows = [
            (0.700000, 0.01333333, 0.716260, 0.00943089),
            (1.436842, 0.01473684, 1.428455, 0.01138211),
            (2.122764, 0.01528455, 2.122764, 0.01528455),
        ];
        for (k, (v, p, vs, ps)) in rows.into_iter().enumerate() {
            let (f, s) = (filtered.beliefs()[k], smoothed[k]);
            assert!((f.mean[0] - v).abs() < 1e-6, "step {k}: filtered {}", f.mean[0]);
            assert!((f.cov[0][0] - p).abs() < 1e-8, "step {k}: filtered P {}", f.cov[0][0]);
            assert!((s.mean[0] - vs).abs() < 1e-6, "step {k}: smoothed {}", s.mean[0]);
            assert!((s.cov[0][0] - ps).abs() < 1e-8, "step {k}: smoothed P {}", s.cov[0][0]);
        }
    }

    /// A known input as a push is the same as one carried in the state.
    #[test]
    fn a_push_is_a_state_that_never_varies() {
        let (start, steps) = worked_case();
        let begin = Belief { mean: [0.0], cov: [[0.01]] };
        let pushed: Vec<Step<1>> = steps
            .iter()
            .map(|step| Step {
                transition: [[1.0]],
                push: [0.7],
                noise: [[step.noise[0][0]]],
                readings: step
                    .readings
                    .iter()
                    .map(|r| Reading { row: [1.0], value: r.value, var: r.var })
                    .collect(),
            })
            .collect();
        let (carried, given) = (filter(start, &steps), filter(begin, &pushed));
        for (a, b) in smooth(&steps, &carried).iter().zip(smooth(&pushed, &given)) {
            assert!((a.mean[0] - b.mean[0]).abs() < 1e-12);
            assert!((a.cov[0][0] - b.cov[0][0]).abs() < 1e-12);
        }
    }

    /// Source: P = (-q + sqrt(q² + 4 q r)) / 2, the scalar Riccati equation.
    #[test]
    fn a_long_chain_settles_at_the_riccati_solution() {
        let start = Belief { mean: [0.0], cov: [[1.0]] };
        let step = Step {
            transition: [[1.0]],
            push: [0.0],
            noise: [[0.01]],
            readings: vec![Reading { row: [1.0], value: 0.0, var: 0.04 }],
        };
        let filtered = filter(start, &vec![step; 200]);
        let settled = filtered.beliefs()[199].cov[0][0];
        assert!((settled - 0.015_615_53).abs() < 1e-8, "settled at {settled}");
    }
}
