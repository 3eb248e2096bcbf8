//! Gaps against two heads built in space and turned as rigid bodies, and the side angle against a
//! drilled head.

use feltwire::measure::{degrees, mm, to_degrees, to_mm, to_radians};
use feltwire::physics::HammerFault;
use feltwire::physics::hammer::sideways::{Neighbours, Pass, face_angles};
use nalgebra::{Point3, Rotation3, Vector3};
use proptest::prelude::*;

/// A plane by a point on it and its normal. Axes: x along the resting shank, y along the rail, z
/// square to both, towards the strings.
struct Plane {
    point: Point3<f64>,
    normal: Vector3<f64>,
}

impl Plane {
    fn turned(&self, rotation: Rotation3<f64>) -> Self {
        Self { point: rotation * self.point, normal: rotation * self.normal }
    }

    /// Where the line along the rail at (x, z) goes through it.
    fn at(&self, x: f64, z: f64) -> f64 {
        let off = Vector3::new(x, 0.0, z) - self.point.coords;
        -off.dot(&self.normal) / self.normal.y
    }
}

#[derive(Debug, Clone, Copy)]
struct Heads {
    pitch: f64,
    width: f64,
    side: f64,
    tilt: f64,
}

impl Heads {
    fn neighbours(self) -> Neighbours {
        Neighbours::new(mm(self.pitch), mm(self.width), degrees(self.side), degrees(self.tilt))
            .expect("heads")
    }

    /// The two faces of the head number `number` from this one: the block's faces are square to a
    /// normal half a width away on either side of its middle, which lies on the shank's own line.
    fn faces(self, number: f64) -> [Plane; 2] {
        let along = Vector3::new(1.0, self.side.to_radians().tan(), 0.0);
        let up = Vector3::new(0.0, self.tilt.to_radians().tan(), 1.0);
        let normal = up.cross(&along).normalize();
        let middle = Point3::new(0.0, number * self.pitch, 0.0);
        [0.5, -0.5].map(|half| Plane { point: middle + normal * (half * self.width), normal })
    }
}

fn heads() -> impl Strategy<Value = Heads> {
    (12.0..15.0, 9.0..11.5, -16.0..16.0, -3.0..3.0).prop_map(|(pitch, width, side, tilt)| Heads {
        pitch,
        width,
        side,
        tilt,
    })
}

fn place() -> impl Strategy<Value = (f64, f64, f64)> {
    (1.0..22.0, 115.0..150.0, -10.0..60.0)
}

proptest! {
    #[test]
    fn gaps_are_those_of_bodies_turned_in_space(h in heads(), (lift, along, square) in place()) {
        // About the rail, so that the head goes towards the strings: x towards z.
        let turn = Rotation3::from_axis_angle(&Vector3::y_axis(), -f64::to_radians(lift));
        let [plus, minus] = h.faces(0.0).map(|face| face.turned(turn));
        let to_plus = h.faces(1.0)[1].at(along, square) - plus.at(along, square);
        let to_minus = minus.at(along, square) - h.faces(-1.0)[0].at(along, square);
        let pass = Pass::new(degrees(lift), mm(along), mm(square)).expect("pass");
        let gaps = h.neighbours().passing_gaps(&pass);
        let (turned, other) = if h.side < 0.0 { (to_minus, to_plus) } else { (to_plus, to_minus) };
        prop_assert!((to_mm(gaps.turned_side) - turned).abs() < 1e-9);
        prop_assert!((to_mm(gaps.other_side) - other).abs() < 1e-9);
        prop_assert!((to_mm(gaps.narrower()) - turned.min(other)).abs() < 1e-9);
    }

    #[test]
    fn at_rest_the_gap_is_the_distance_of_two_parallel_faces(h in heads()) {
        let [face, next] = [&h.faces(0.0)[0], &h.faces(1.0)[1]];
        let distance = (next.point - face.point).dot(&face.normal);
        prop_assert!((to_mm(h.neighbours().rest_gap()) - distance).abs() < 1e-9);
    }

    #[test]
    fn the_evening_tilt_makes_both_gaps_equal(h in heads(), (lift, along, square) in place()) {
        let pass = Pass::new(degrees(lift), mm(along), mm(square)).expect("pass");
        let tilt = to_degrees(pass.evening_tilt(degrees(h.side)).expect("tilt"));
        let gaps = Heads { tilt, ..h }.neighbours().passing_gaps(&pass);
        prop_assert!((to_mm(gaps.turned_side) - to_mm(gaps.other_side)).abs() < 1e-9);
    }

    /// A head as glued: its face holds the string and the square to it; the shank goes through it.
    #[test]
    fn the_drill_goes_through_the_face_at_the_side_angle(splay in -25.0..25.0, rake in -3.0..10.0) {
        let string = Rotation3::from_axis_angle(&Vector3::z_axis(), f64::to_radians(splay));
        let lower = Rotation3::from_axis_angle(&Vector3::y_axis(), f64::to_radians(rake));
        let shank = lower * Vector3::x();
        let (along, face) = (string * Vector3::x(), string * Vector3::y());
        let found = face_angles(degrees(splay), degrees(rake)).expect("face");
        let off_face = shank.dot(&face).abs().asin();
        prop_assert!((to_radians(found.side).abs() - off_face).abs() < 1e-12);
        prop_assert!(f64::to_radians(splay) * to_radians(found.side) >= 0.0);
        let within = shank - face * shank.dot(&face);
        let on_face = f64::atan2(-within.z, within.dot(&along));
        prop_assert!((to_radians(found.rake_on_face) - on_face).abs() < 1e-12);
    }
}

#[test]
fn straight_heads_pass_as_they_rest() {
    let pass = Pass::new(degrees(18.3), mm(130.0), mm(50.0)).expect("pass");
    let heads = Heads { pitch: 13.0, width: 10.5, side: 0.0, tilt: 0.0 }.neighbours();
    let gaps = heads.passing_gaps(&pass);
    for gap in [heads.rest_gap(), gaps.turned_side, gaps.other_side] {
        assert!((to_mm(gap) - 2.5).abs() < 1e-12);
    }
}

#[test]
fn what_cannot_be_is_a_fault() {
    let none = degrees(0.0);
    let flat = Neighbours::new(mm(13.0), mm(0.0), none, none);
    assert_eq!(flat, Err(HammerFault::NotPositive("width of the heads")));
    let across = Neighbours::new(mm(13.0), mm(10.0), degrees(90.0), none);
    assert_eq!(across, Err(HammerFault::TooSteep("side angle")));
    let still = Pass::new(none, mm(130.0), mm(50.0));
    assert_eq!(still, Err(HammerFault::NotPositive("lift")));
    assert_eq!(face_angles(degrees(f64::NAN), none), Err(HammerFault::NotFinite("splay")));
    assert_eq!(face_angles(degrees(-95.0), none), Err(HammerFault::TooSteep("splay")));
    // So far behind the centre that no tilt moves the crown sideways.
    let behind = Pass::new(degrees(5.0), mm(1.0), mm(-500.0)).expect("pass");
    let fault = HammerFault::NotPositive("sideways reach of the tilt");
    assert_eq!(behind.evening_tilt(degrees(5.0)), Err(fault));
}
