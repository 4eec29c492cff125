//! How heat was worked out: methods, inputs, sources.

use crate::screen::How;

pub fn how() -> Vec<How> {
    vec![
        How::new(
            "Start is the steady level just before the launch, end the reading at the lift, rise \
             the difference. Readings at a speed are taken where the believable ground speed first \
             passes it, so wheelspin does not move them; nothing is read beyond the end of a pull.",
            vec![
                "A sensor lags: its peak comes after the lift. The peak and its delay are shown for \
                 that reason."
                    .to_owned(),
                "Each ± is half of a 95 % interval: noise and step of the sensor, the moment that \
                 rows and delay leave open times the climb, and the doubt of the speed."
                    .to_owned(),
            ],
            "Common practice, no source; intervals as in JCGM 100:2008.",
        ),
        How::new(
            "Recovery is Newton's cooling, T = level + amplitude × exp(−t / time constant), fitted \
             by variable projection; its interval comes from the profile of the residuals. A log \
             that stops before one and a half time constants gives none, and stretches of standing \
             and of driving are fitted apart. Half-time is the time constant times ln 2; back at the \
             start's level means within 2 °F (1.1 °C) of it.",
            Vec::new(),
            "Golub & Pereyra 1973 (variable projection); Bates & Watts 1988 (profile intervals).",
        ),
        How::new(
            "The ladder follows from both: with rise ΔT, gap d and q = exp(−d / time constant) the \
             next start is level + (start + ΔT − level) × q, and starts tend to level + ΔT × q / (1 − q).",
            Vec::new(),
            "Geometric series of the cooling law above.",
        ),
        How::new(
            "The compressor's outlet is logged, or T2 = T1 + T1 (PR^0.2857 − 1) / efficiency with \
             T1 the absolute inlet temperature and PR the absolute manifold pressure over the \
             barometric one; a logged outlet gives the efficiency by the same formula.",
            vec![
                "0.2857 is (k − 1)/k of dry air, k = 1.4; efficiencies of 50 to 78 % where the outlet \
                 was not logged (compressor handbooks, from memory)."
                    .to_owned(),
            ],
            "Isentropic relation of the ideal gas.",
        ),
        How::new(
            "The cooler's effectiveness is the air's drop over the largest possible one: \
             (outlet − charge) / (outlet − coolant), with ambient air in place of a coolant that was \
             not logged. A value outside 0 to 100 % is left out: it is heat stored in the core, or a \
             sensor.",
            Vec::new(),
            "Kays & London, Compact Heat Exchangers.",
        ),
        How::new(
            "Charge density is pressure over R T with R of dry air; the air that a pull lost against \
             the first is 1 − T_first / T, absolute temperatures, at equal pressure.",
            Vec::new(),
            "Ideal gas law; R = 287.05 J/(kg K).",
        ),
        How::new(
            "A sensor's lag is read off the slopes: a first-order lag answers an even climb late at \
             first, then parallel, and its slope approaches that of the air as exp(−t / time \
             constant). Undone, the air is the reading plus the time constant times its slope, both \
             from one local straight fit; its ± carries the noise through the slope and 30 % doubt \
             about the time constant.",
            Vec::new(),
            "First-order lag; local polynomial fit, Savitzky & Golay 1964.",
        ),
    ]
}
