//! Felt against a rigid stop: the closed form against the motion followed step by step.

use feltwire::measure::{
    grams, kg_per_s, kilograms, metres, metres_per_second, to_kilograms, to_metres, to_newtons,
    to_seconds,
};
use feltwire::physics::HammerFault;
use feltwire::physics::hammer::strike::{Felt, deceleration_time, mass_ratio};
use proptest::prelude::*;

/// Follows M x'' = −K xᵖ from touch to parting by velocity Verlet; the time of parting between the
/// last two steps by the straight line.
fn followed(stiffness: f64, p: f64, mass: f64, velocity: f64, steps: f64) -> (f64, f64, f64) {
    let scale = ((p + 1.0) * mass * velocity * velocity / stiffness).powf(1.0 / (p + 1.0));
    let dt = scale / velocity / steps;
    let push = |x: f64| -stiffness * x.max(0.0).powf(p) / mass;
    let (mut x, mut v, mut t, mut deepest) = (0.0, velocity, 0.0, 0.0_f64);
    loop {
        let half = v + 0.5 * dt * push(x);
        let next = x + dt * half;
        if next <= 0.0 {
            return (t + dt * x / (x - next), deepest, -mass * push(deepest));
        }
        v = half + 0.5 * dt * push(next);
        (x, t, deepest) = (next, t + dt, deepest.max(next));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    /// 20 000 steps leave a few parts in 10⁸ of a second-order method.
    #[test]
    fn the_closed_form_is_the_motion(
        log_k in 7.0..11.5, p in 1.0..4.0, mass in 3.0..12.0, velocity in 0.3..6.0,
    ) {
        let stiffness = 10_f64.powf(log_k);
        let felt = Felt::new(stiffness, p).expect("felt");
        let stop = felt.against_rigid_stop(grams(mass), metres_per_second(velocity)).expect("blow");
        let (time, depth, force) = followed(stiffness, p, mass * 1e-3, velocity, 20_000.0);
        prop_assert!((to_seconds(stop.contact) / time - 1.0).abs() < 1e-6);
        prop_assert!((to_metres(stop.compression) / depth - 1.0).abs() < 1e-6);
        prop_assert!((to_newtons(stop.peak) / force - 1.0).abs() < 1e-5);
    }

    #[test]
    fn all_the_energy_is_in_the_felt_at_its_deepest(
        log_k in 7.0..11.5, p in 1.0..4.0, mass in 3.0..12.0, velocity in 0.3..6.0,
    ) {
        let stiffness = 10_f64.powf(log_k);
        let felt = Felt::new(stiffness, p).expect("felt");
        let stop = felt.against_rigid_stop(grams(mass), metres_per_second(velocity)).expect("blow");
        let stored = to_newtons(stop.peak) * to_metres(stop.compression) / (p + 1.0);
        prop_assert!((stored / (0.5e-3 * mass * velocity * velocity) - 1.0).abs() < 1e-12);
    }

    /// An endless string of impedance Z with two arms pushes back with 2Zv: the hammer slows by e
    /// in M/(2Z). A string of mass m whose waves take the period T there and back has Z = 2m/T.
    #[test]
    fn mass_ratio_is_four_deceleration_times_over_the_period(
        head in 3.0..12.0, strings in 0.5..190.0, pitch in 27.0..4200.0f64,
    ) {
        let (length, mass) = (1.0, strings * 1e-3);
        let wave_speed: f64 = 2.0 * length * pitch;
        let impedance = mass / length * wave_speed;
        let time = deceleration_time(grams(head), kg_per_s(impedance)).expect("time");
        let ratio = mass_ratio(grams(head), grams(strings)).expect("ratio");
        prop_assert!((4.0 * to_seconds(time) * pitch / ratio - 1.0).abs() < 1e-12);
    }
}

#[test]
fn a_linear_felt_is_half_a_swing_of_a_spring_whatever_the_blow() {
    let felt = Felt::new(2e4, 1.0).expect("felt");
    for velocity in [0.5, 1.0, 4.0] {
        let stop = felt.against_rigid_stop(grams(8.0), metres_per_second(velocity)).expect("blow");
        let half = std::f64::consts::PI * (to_kilograms(grams(8.0)) / 2e4).sqrt();
        assert!((to_seconds(stop.contact) / half - 1.0).abs() < 1e-12);
    }
}

#[test]
fn what_cannot_be_is_a_fault() {
    assert_eq!(Felt::new(0.0, 2.5), Err(HammerFault::NotPositive("felt stiffness")));
    assert_eq!(Felt::new(1e9, 0.5), Err(HammerFault::Negative("felt exponent less 1")));
    assert_eq!(Felt::new(1e9, f64::NAN), Err(HammerFault::NotFinite("felt exponent less 1")));
    let felt = Felt::new(1e9, 2.5).expect("felt");
    let still = felt.against_rigid_stop(grams(8.0), metres_per_second(0.0));
    assert_eq!(still, Err(HammerFault::NotPositive("hammer velocity")));
    let endless = felt.against_rigid_stop(kilograms(1e300), metres_per_second(1e200));
    assert_eq!(endless, Err(HammerFault::NotFinite("compression")));
    assert_eq!(felt.force(metres(-1e-3)), Err(HammerFault::Negative("compression")));
    let none = mass_ratio(grams(8.0), grams(0.0));
    assert_eq!(none, Err(HammerFault::NotPositive("mass of the strings")));
}
