//! Touch against work done: a head lifted by a turn of the hammer is lifted by the key.

use feltwire::measure::{
    Input, Mass, Measured, degrees, grams, mm, radians, to_grams, to_mm, to_radians,
};
use feltwire::physics::HammerFault;
use feltwire::physics::hammer::geometry::{Head, Station};
use feltwire::physics::hammer::touch::{
    KeyRatio, Touch, horizontal_distance, key_force_per_gram, lean_of_grand, lean_of_upright,
    measured_key_force_per_gram, predicted_mean,
};
use nalgebra::{Point2, Rotation2, Vector2};
use proptest::prelude::*;
use rand_distr::{Distribution, Normal};

fn read(value: f64, sd: f64) -> Measured<Mass> {
    Measured::new(grams(value), grams(sd))
}

/// The mass centre in space (x horizontal, towards the strings; y up) with the shank leaning by
/// `lean` radians from the vertical, away from the strings: built upright, then turned.
fn mass_centre(hanging: f64, e: f64, g: f64, rake: f64, lean: f64) -> Point2<f64> {
    // Upright: the shank straight up, strings to the right, the shank's axis e to the left.
    let head = Rotation2::new(rake.to_radians()) * Vector2::new(1.0, 0.0);
    // A rake leans the crown down, towards the centre.
    let head = Vector2::new(head.x, -head.y);
    Rotation2::new(lean) * (Point2::new(-e, hanging) + head * g)
}

proptest! {
    /// Virtual work: force on the key times its travel is weight times the rise of the mass centre.
    #[test]
    fn force_times_travel_is_weight_times_rise(
        hanging in 120.0..150.0, e in 0.0..10.0, g in 8.0..28.0, rake in -1.0..7.0,
        lean in -10.0..115.0, per_mm in 0.03..0.04,
    ) {
        let station = Station::new(mm(50.0), mm(hanging), mm(e)).expect("station");
        let lean_rad = f64::to_radians(lean);
        let at = |lean| mass_centre(hanging, e, g, rake, lean);
        let x = horizontal_distance(&station, degrees(rake), mm(g), degrees(lean)).expect("x");
        prop_assert!((to_mm(x) + at(lean_rad).x).abs() < 1e-10);
        let ratio = KeyRatio::new(radians(per_mm), mm(1.0)).expect("ratio");
        let k = key_force_per_gram(&station, degrees(rake), mm(g), degrees(lean), ratio);
        // The key going down 2 µm turns the hammer towards the strings: the lean falls.
        let travel = 2e-3;
        let turn = per_mm * travel / 2.0;
        let rise = at(lean_rad - turn).y - at(lean_rad + turn).y;
        prop_assert!((k.expect("k") - rise / travel).abs() < 1e-7);
    }

    /// A grand's shank below the level by a: its mass centre lies where a point that high on the
    /// head's axis lies along the string, for a level string.
    #[test]
    fn a_grand_is_an_upright_laid_down(
        hanging in 120.0..135.0, g in 8.0..20.0, rake in 0.0..3.0, blow in 38.0..50.0,
    ) {
        let station = Station::new(mm(47.0), mm(hanging), mm(0.0)).expect("station");
        let head = Head::new(mm(47.0), degrees(rake), mm(0.0)).expect("head");
        let rest = station.swing(&head, mm(blow)).expect("swing").rest;
        let lean = lean_of_grand(rest);
        let x = horizontal_distance(&station, degrees(rake), mm(g), lean).expect("x");
        let a = to_radians(rest);
        let along = hanging * a.cos() + g * (a - f64::to_radians(rake)).sin();
        prop_assert!((to_mm(x) - along).abs() < 1e-10);
    }

    #[test]
    fn down_and_up_come_back(mean in 25.0..60.0f64, friction in 0.0..20.0f64) {
        let touch = Touch::from_weights(read(mean + friction, 0.6), read(mean - friction, 0.8));
        let touch = touch.expect("touch");
        prop_assert!((to_grams(touch.mean.value) - mean).abs() < 1e-10);
        prop_assert!((to_grams(touch.friction.value) - friction).abs() < 1e-10);
        // √(0.6² + 0.8²)/2 = 0.5.
        prop_assert!((to_grams(touch.mean.sd) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn a_clip_weighed_foretells_itself(mean in 25.0..60.0f64, k in -1.0..6.0f64, head in 3.0..12.0) {
        let exact = |value| read(value, 0.0);
        let found = measured_key_force_per_gram(exact(mean), exact(mean + 2.0 * k), exact(2.0));
        let found = found.expect("k");
        prop_assert!((found.value - k).abs() < 1e-10);
        let then = predicted_mean(exact(mean), found, exact(head), exact(head + 2.0));
        prop_assert!((to_grams(then.expect("mean").value) - mean - 2.0 * k).abs() < 1e-10);
    }

    /// Kinetic energy of head and key at the same moment.
    #[test]
    fn reflected_mass_holds_the_energy_of_the_head(
        hanging in 120.0..150.0f64, head in 3.0..12.0f64, per_mm in 0.03..0.04f64,
    ) {
        let ratio = KeyRatio::new(radians(per_mm * 8.8), mm(8.8)).expect("ratio");
        let mass = ratio.reflected_mass(grams(head), mm(hanging)).expect("mass");
        let (key_speed, head_speed) = (0.1, 0.1 * per_mm * hanging);
        let energy = head * head_speed * head_speed;
        prop_assert!((to_grams(mass) * key_speed * key_speed / energy - 1.0).abs() < 1e-12);
    }
}

/// 40 000 repeated readings know a standard deviation to 0.35 %; four times that, and 0.6 % for
/// what the first order leaves out.
#[test]
fn doubts_are_the_spread_of_repeated_readings() {
    let normal = Normal::new(0.0, 1.0).expect("normal");
    let input = Input::new(5, "touch");
    let (without, with, clip) = ((40.0, 0.5), (49.0, 0.5), (2.0, 0.02));
    let (old, new) = ((9.0, 0.1), (10.2, 0.15));
    let (mut ks, mut means) = (Vec::new(), Vec::new());
    for draw in 0..40_000 {
        let mut stream = input.draw(draw);
        let mut near = |(value, sd)| read(value + sd * normal.sample(&mut stream), 0.0);
        let k = measured_key_force_per_gram(near(without), near(with), near(clip)).expect("k");
        ks.push(k.value);
        let mean = predicted_mean(near(without), k, near(old), near(new)).expect("mean");
        means.push(to_grams(mean.value));
    }
    let doubt = |(value, sd)| read(value, sd);
    let k = measured_key_force_per_gram(doubt(without), doubt(with), doubt(clip)).expect("k");
    let mean = predicted_mean(doubt(without), k, doubt(old), doubt(new)).expect("mean");
    for (stated, values) in [(k.sd, ks), (to_grams(mean.sd), means)] {
        let middle = values.iter().sum::<f64>() / 40_000.0;
        let spread = (values.iter().map(|v| (v - middle).powi(2)).sum::<f64>() / 39_999.0).sqrt();
        assert!((spread / stated - 1.0).abs() < 0.02, "stated {stated}, found {spread}");
    }
}

#[test]
fn a_string_that_leans_leans_the_shank() {
    let lean = lean_of_upright(degrees(18.303), degrees(-3.0));
    assert!((to_radians(lean) - 15.303_f64.to_radians()).abs() < 1e-12);
}

#[test]
fn what_cannot_be_is_a_fault() {
    let swapped = Touch::from_weights(read(30.0, 0.5), read(52.0, 0.5));
    assert_eq!(swapped, Err(HammerFault::UpAboveDown));
    let below = Touch::from_weights(read(30.0, 0.5), read(-1.0, 0.5));
    assert_eq!(below, Err(HammerFault::Negative("up weight")));
    let still = KeyRatio::new(degrees(0.0), mm(8.8));
    assert_eq!(still, Err(HammerFault::NotPositive("turn of the hammer")));
    let tiny = KeyRatio::new(degrees(10.0), mm(1e-320));
    assert_eq!(tiny, Err(HammerFault::NotFinite("turn over travel")));
    let no_clip = measured_key_force_per_gram(read(40.0, 0.5), read(49.0, 0.5), read(0.0, 0.0));
    assert_eq!(no_clip, Err(HammerFault::NotPositive("clipped mass")));
}
