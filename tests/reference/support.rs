//! What the checks share: comparing a number with a printed one.

/// Fails unless `ours` is within `tolerance` of `published`; says by how much not.
#[track_caller]
pub fn near(what: &str, ours: f64, published: f64, tolerance: f64) {
    let off = (ours - published).abs();
    assert!(off <= tolerance, "{what}: ours {ours}, published {published}, off {off:.2e}");
}

/// The same, relative to the published value.
#[track_caller]
pub fn near_share(what: &str, ours: f64, published: f64, share: f64) {
    near(what, ours, published, share * published.abs());
}
