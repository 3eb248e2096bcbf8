//! The hammer's closed forms against a head built point by point and turned by brute force, and
//! there and back again.

use feltwire::measure::{
    Angle, Measured, degrees, metres, mm, radians, to_degrees, to_mm, to_radians,
};
use feltwire::physics::HammerFault;
use feltwire::physics::hammer::geometry::{Head, Station};
use feltwire::physics::hammer::inverse::{ActionKind, hanging_distance_for_strike};
use feltwire::physics::hammer::readings::{
    anywhere_between, bore_from_parallel_shank, height_over_rising_string, square_bore,
};
use nalgebra::{Point2, Rotation2, Vector2};
use proptest::prelude::*;
use std::ops::Mul;

#[derive(Debug, Clone, Copy)]
struct Figures {
    h: f64,
    hanging: f64,
    e: f64,
    rake: f64,
    crown: f64,
    lost: f64,
    blow: f64,
}

impl Figures {
    fn station(self) -> Station {
        Station::new(mm(self.h), mm(self.hanging), mm(self.e)).expect("station")
    }
    fn whole(self) -> Head {
        self.station().square_head(degrees(self.rake), mm(self.crown)).expect("head")
    }
    fn worn(self) -> Head {
        self.whole().less(mm(self.lost)).expect("head")
    }

    /// Points of the crown's arc with the shank along +x, its axis at y = −e: the head as it lies
    /// on the bench, built with no formula of the library.
    fn outline(self, bore: f64) -> Vec<Point2<f64>> {
        let foot = Point2::new(self.hanging, -self.e);
        let axis = Rotation2::new(self.rake.to_radians()) * Vector2::y();
        let centre = foot + axis * (bore - self.crown);
        let points = 20_000;
        (0..=points)
            .map(|i| (f64::from(i) / f64::from(points) - 0.5) * 1.2)
            .map(|turn| centre + Rotation2::new(turn) * axis * self.crown)
            .collect()
    }
}

fn exact<Q: Copy + Mul<f64, Output = Q>>(value: Q) -> Measured<Q> {
    Measured::new(value, value * 0.0)
}

/// The highest point of the outline when the shank is `angle` short of parallel.
fn highest(outline: &[Point2<f64>], angle: f64) -> Point2<f64> {
    let turned = outline.iter().map(|point| Rotation2::new(-angle) * point);
    turned.max_by(|a, b| a.y.total_cmp(&b.y)).expect("points")
}

/// Swings the outline up until its highest point is at `height`.
fn swing_up(outline: &[Point2<f64>], height: f64) -> (f64, Point2<f64>) {
    let (mut below, mut above) = (0.6, -0.2);
    for _ in 0..55 {
        let middle = 0.5 * (below + above);
        if highest(outline, middle).y < height { below = middle } else { above = middle }
    }
    (above, highest(outline, above))
}

fn figures() -> impl Strategy<Value = Figures> {
    (40.0..62.0, 120.0..150.0, -2.0..10.0, -2.0..8.0, 3.0..14.0, 0.0..4.0, 38.0..51.0).prop_map(
        |(h, hanging, e, rake, crown, lost, blow)| Figures {
            h,
            hanging,
            e,
            rake,
            crown,
            lost,
            blow,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// 20 001 points 0.06 mrad apart sag by r·(0.06e-3)²/8 < 1e-8 mm under the arc: 1e-9 rad at 120
    /// mm is ten times that. The highest point itself is known to one step of the arc, 0.001 mm at
    /// most.
    #[test]
    fn a_head_built_of_points_meets_the_string_at_the_same_angle(f in figures()) {
        let head = f.worn();
        let contact = f.station().contact(&head).expect("contact");
        let (angle, touch) = swing_up(&f.outline(to_mm(head.bore())), f.h);
        prop_assert!((angle - to_radians(contact.shank_angle)).abs() < 1e-9);
        prop_assert!((touch.x - to_mm(contact.strike)).abs() < 1e-3);
    }

    #[test]
    fn a_tip_swung_back_by_hand_stands_at_the_blow(f in figures()) {
        let (station, head) = (f.station(), f.whole());
        let swing = station.swing(&head, mm(f.blow)).expect("swing");
        let pointed = Figures { crown: 0.0, ..f }.outline(to_mm(head.bore()));
        let tip = |angle: Angle| highest(&pointed[..1], to_radians(angle));
        prop_assert!((tip(swing.rest).y - (f.h - f.blow)).abs() < 1e-9);
        prop_assert!((tip(swing.contact).y - f.h).abs() < 1e-9);
        let steps = 4000;
        let turn = |i: i32| swing.contact + swing.swing * (f64::from(i) / f64::from(steps));
        let path: f64 = (0..steps).map(|i| (tip(turn(i)) - tip(turn(i + 1))).norm()).sum();
        prop_assert!((path - to_mm(swing.path)).abs() < 1e-6);
        let before = tip(swing.contact + radians(1e-6)) - tip(swing.contact - radians(1e-6));
        let rubbing = (before.x / before.y).atan().abs();
        prop_assert!((rubbing - to_radians(swing.rubbing)).abs() < 1e-8);
    }

    #[test]
    fn felt_lost_lengthens_the_blow_by_what_the_tip_stands_lower(f in figures()) {
        let (station, head) = (f.station(), f.whole());
        let swing = station.swing(&head, mm(f.blow)).expect("swing");
        let worn = Figures { crown: 0.0, ..f }.outline(to_mm(head.bore()) - f.lost);
        let gap = f.h - highest(&worn[..1], to_radians(swing.rest)).y;
        let blow = station.blow_after_loss(&head, mm(f.blow), mm(f.lost)).expect("blow");
        prop_assert!((to_mm(blow) - gap).abs() < 1e-9);
    }
}

proptest! {
    #[test]
    fn a_square_head_strikes_squarely_where_it_should(f in figures()) {
        let contact = f.station().contact(&f.whole()).expect("contact");
        prop_assert!(to_radians(contact.obliquity).abs() < 1e-12);
        let strike = f.station().square_strike(degrees(f.rake)).expect("strike");
        prop_assert!((to_mm(strike) - to_mm(contact.strike)).abs() < 1e-10);
    }

    #[test]
    fn bores_rakes_and_hanging_distances_come_back(f in figures()) {
        let (station, head) = (f.station(), f.worn());
        let contact = station.contact(&head).expect("contact");
        let bore = station.bore_at(contact.shank_angle, head.rake(), head.crown_radius());
        prop_assert!((to_mm(bore.expect("bore")) - to_mm(head.bore())).abs() < 1e-10);
        let rake =
            station.rake_for_obliquity(head.bore(), head.crown_radius(), contact.obliquity);
        prop_assert!((to_degrees(rake.expect("rake")) - f.rake).abs() < 1e-10);
        let strike = station.square_strike(head.rake()).expect("strike");
        let hanging = hanging_distance_for_strike(strike, head.rake(), mm(f.e)).expect("R");
        prop_assert!((to_mm(hanging) - f.hanging).abs() < 1e-10);
    }

    #[test]
    fn the_band_of_rakes_ends_where_the_obliquity_reaches_its_limit(f in figures()) {
        let (station, worn) = (f.station(), f.worn());
        let limit = degrees(1.0);
        let band = station.rake_band(worn.bore(), worn.crown_radius(), limit).expect("band");
        for (rake, psi) in [(band.least, 1.0), (band.square, 0.0), (band.greatest, -1.0)] {
            let head = Head::new(worn.bore(), rake, worn.crown_radius()).expect("head");
            let contact = station.contact(&head).expect("contact");
            prop_assert!((to_degrees(contact.obliquity) - psi).abs() < 1e-10);
        }
        prop_assert!(band.least < band.square && band.square < band.greatest);
    }

    #[test]
    fn a_shank_held_parallel_reads_height_and_offset_in_one(f in figures()) {
        let (hanging, rake) = (exact(mm(f.hanging)), exact(degrees(f.rake)));
        let once = bore_from_parallel_shank(exact(mm(f.h + f.e)), hanging, exact(mm(f.e)), rake);
        let apart = square_bore(exact(mm(f.h)), hanging, exact(mm(f.e)), rake);
        let (once, apart) = (once.expect("bore").value, apart.expect("bore").value);
        prop_assert!((to_mm(once) - to_mm(apart)).abs() < 1e-10);
    }

    /// The pin, the string as a line of points in the case's own axes, and the nearest of them.
    #[test]
    fn a_rising_string_is_as_high_as_its_nearest_point(
        height in 40.0..60.0, across in 120.0..140.0, rise in -3.0..4.0f64,
    ) {
        let h = height_over_rising_string(exact(mm(height)), exact(mm(across)), exact(degrees(rise)));
        let along = Rotation2::new(rise.to_radians()) * Vector2::x();
        let nearest = (-20_000..20_000)
            .map(|i| (Vector2::new(across, height) + along * (f64::from(i) * 0.01)).norm())
            .fold(f64::INFINITY, f64::min);
        // The nearest point is at most 0.005 mm from the foot of the square: 0.005²/(2·30) mm.
        prop_assert!((to_mm(h.expect("height").value) - nearest).abs() < 1e-6);
    }

    /// Boring by the plain height difference, the string rising by tau, strikes oblique by exactly
    /// tau.
    #[test]
    fn boring_by_plain_height_is_wrong_by_the_rise(
        height in 40.0..60.0, across in 120.0..140.0, rise in 0.0..4.0,
    ) {
        let h = height_over_rising_string(exact(mm(height)), exact(mm(across)), exact(degrees(rise)));
        let station = Station::new(h.expect("height").value, mm(across), mm(0.0)).expect("station");
        let head = Head::new(mm(height), degrees(0.0), mm(0.0)).expect("head");
        let contact = station.contact(&head).expect("contact");
        prop_assert!((to_degrees(contact.obliquity) - rise).abs() < 1e-10);
    }

    /// Central differences over ±0.01 mm and ±0.01°: what is left is third order, under 1e-7.
    #[test]
    fn slopes_are_those_of_the_relations(f in figures()) {
        let (station, head) = (f.station(), f.worn());
        let slopes = station.contact_slopes(&head).expect("slopes");
        let (angle, strike) = (slopes.obliquity, slopes.strike);
        let bore = to_mm(head.bore());
        let at = |h: f64, hanging: f64, e: f64, bore: f64, rake: f64| {
            let head = Head::new(mm(bore), degrees(rake), mm(f.crown)).expect("head");
            let station = Station::new(mm(h), mm(hanging), mm(e)).expect("station");
            let contact = station.contact(&head).expect("contact");
            (to_radians(contact.obliquity), to_mm(contact.strike))
        };
        let d = 0.01;
        let slope = |up: (f64, f64), down: (f64, f64)| {
            ((up.0 - down.0) / (2.0 * d), (up.1 - down.1) / (2.0 * d))
        };
        let along = |i: usize| {
            let step = |sign: f64| {
                let mut x = [f.h, f.hanging, f.e, bore, f.rake];
                x[i] += sign * d;
                at(x[0], x[1], x[2], x[3], x[4])
            };
            slope(step(1.0), step(-1.0))
        };
        let close = |a: (f64, f64), angle: f64, strike: f64| {
            (a.0 - angle).abs() < 1e-7 && (a.1 - strike).abs() < 1e-7
        };
        prop_assert!(close(along(0), to_radians(angle.per_mm_of_height), strike.by_height));
        prop_assert!(close(along(1), to_radians(angle.per_mm_of_hanging), strike.by_hanging));
        prop_assert!(close(along(2), to_radians(angle.per_mm_of_offset), strike.by_offset));
        prop_assert!(close(along(3), to_radians(angle.per_mm_of_bore), strike.by_bore));
        let degree = 1f64.to_radians();
        let by_rake = to_mm(strike.per_radian_of_rake) * degree;
        prop_assert!(close(along(4), angle.by_rake * degree, by_rake));
    }

    #[test]
    fn square_slopes_are_those_of_relation_one(f in figures()) {
        let at = |x: [f64; 4]| {
            let station = Station::new(mm(x[0]), mm(x[1]), mm(x[2])).expect("station");
            let rake = degrees(x[3]);
            let (bore, strike) = (station.square_bore(rake), station.square_strike(rake));
            (to_mm(bore.expect("bore")), to_mm(strike.expect("strike")))
        };
        let along = |i: usize| {
            let step = |sign: f64| {
                let mut x = [f.h, f.hanging, f.e, f.rake];
                x[i] += sign * 0.01;
                at(x)
            };
            let (up, down) = (step(1.0), step(-1.0));
            ((up.0 - down.0) / 0.02, (up.1 - down.1) / 0.02)
        };
        let bore = f.station().square_bore_slopes(degrees(f.rake)).expect("slopes");
        let strike = f.station().square_strike_slopes(degrees(f.rake)).expect("slopes");
        for (i, b, s) in [
            (0, bore.by_height, strike.by_height),
            (1, bore.by_hanging, strike.by_hanging),
            (2, bore.by_offset, strike.by_offset),
            (3, to_mm(bore.per_degree_of_rake()), to_mm(strike.per_degree_of_rake())),
        ] {
            let found = along(i);
            prop_assert!((found.0 - b).abs() < 1e-7 && (found.1 - s).abs() < 1e-7, "input {i}");
        }
    }
}

/// Whatever is asked, sensible or not, the answer is a finite figure or a fault; both kinds occur
/// often.
#[test]
fn no_figure_leads_to_nan() {
    use feltwire::measure::Input;
    use rand_distr::{Distribution, Uniform};
    let input = Input::new(11, "hammer figures");
    let mut answers: Vec<Option<f64>> = Vec::new();
    for draw in 0..20_000 {
        let mut stream = input.draw(draw);
        let mut between =
            |low: f64, high: f64| Uniform::new(low, high).expect("bounds").sample(&mut stream);
        let (h, hanging, e) = (between(-5.0, 300.0), between(-5.0, 300.0), between(-99.0, 99.0));
        let (bore, rake, crown) = (between(-5.0, 400.0), between(-95.0, 95.0), between(-1.0, 50.0));
        let blow = mm(between(-5.0, 500.0));
        let station = Station::new(mm(h), mm(hanging), mm(e));
        let head = Head::new(mm(bore), degrees(rake), mm(crown));
        let (Ok(station), Ok(head)) = (station, head) else {
            answers.push(None);
            continue;
        };
        let contact = station.contact(&head).ok();
        let swing = station.swing(&head, blow).ok();
        let band = station.rake_band(head.bore(), head.crown_radius(), degrees(1.0)).ok();
        let slopes = station.contact_slopes(&head).ok();
        let square = station.square_bore(head.rake()).ok();
        answers.extend([
            contact.map(|c| to_mm(c.strike) + to_degrees(c.shank_angle + c.obliquity)),
            swing.map(|s| to_mm(s.path) + to_degrees(s.rest + s.contact + s.swing + s.rubbing)),
            band.map(|b| to_degrees(b.least + b.square + b.greatest)),
            slopes.map(|s| to_degrees(s.obliquity.per_mm_of_bore) + s.strike.by_bore),
            square.map(to_mm),
        ]);
    }
    let figures: Vec<f64> = answers.iter().flatten().copied().collect();
    assert!(figures.iter().all(|figure| figure.is_finite()));
    assert!(figures.len() > 20_000 && answers.len() - figures.len() > 5_000);
}

/// Doubts against the spread of many pianos drawn at random: 40 000 draws know a standard deviation
/// to 1/√80 000 = 0.35 %, four times that is allowed.
#[test]
fn doubts_are_the_spread_of_repeated_readings() {
    use feltwire::measure::Input;
    use rand_distr::{Distribution, Normal};
    let normal = Normal::new(0.0, 1.0).expect("normal");
    let input = Input::new(7, "hammer readings");
    let (hanging, rake) = ((142.875, 0.7), (5.0, 0.3));
    let (mut apart, mut once, mut rising) = (Vec::new(), Vec::new(), Vec::new());
    let read = |(value, sd): (f64, f64)| Measured::new(mm(value), mm(sd));
    let turned = |(value, sd): (f64, f64)| Measured::new(degrees(value), degrees(sd));
    for draw in 0..40_000 {
        let mut stream = input.draw(draw);
        let mut near = |(value, sd): (f64, f64)| (value + sd * normal.sample(&mut stream), 0.0);
        let (r, angle) = (read(near(hanging)), turned(near(rake)));
        let (h, e) = (read(near((53.975, 0.5))), read(near((9.525, 2.0))));
        apart.push(to_mm(square_bore(h, r, e, angle).expect("bore").value));
        let d = read(near((63.5, 0.3)));
        once.push(to_mm(bore_from_parallel_shank(d, r, e, angle).expect("bore").value));
        let (height, across) = (read(near((47.0, 0.4))), read(near((130.0, 1.0))));
        let tau = turned(near((2.0, 0.2)));
        let h = height_over_rising_string(height, across, tau).expect("height");
        rising.push(to_mm(h.value));
    }
    let spread = |values: &[f64]| {
        let mean = values.iter().sum::<f64>() / 40_000.0;
        (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / 39_999.0).sqrt()
    };
    let (r, angle, e) = (read(hanging), turned(rake), read((9.525, 2.0)));
    let stated = [
        square_bore(read((53.975, 0.5)), r, e, angle),
        bore_from_parallel_shank(read((63.5, 0.3)), r, e, angle),
        height_over_rising_string(read((47.0, 0.4)), read((130.0, 1.0)), turned((2.0, 0.2))),
    ];
    for (stated, found) in stated.into_iter().zip([&apart, &once, &rising]) {
        let sd = to_mm(stated.expect("stated").sd);
        assert!((spread(found) / sd - 1.0).abs() < 0.014, "stated {sd}, found {}", spread(found));
    }
}

#[test]
fn an_unknown_offset_is_a_doubt_and_not_a_guess() {
    let offset = anywhere_between(mm(0.0), mm(10.0)).expect("bounds");
    assert!((to_mm(offset.value) - 5.0).abs() < 1e-12);
    // JCGM 100:2008, 4.3.7: half-width a, standard uncertainty a/√3.
    assert!((to_mm(offset.sd) - 5.0 / 3f64.sqrt()).abs() < 1e-12);
    let bore = |offset| {
        let (d, hanging) = (exact(mm(63.5)), exact(mm(142.875)));
        bore_from_parallel_shank(d, hanging, offset, exact(degrees(5.0))).expect("bore")
    };
    let unknown = bore(offset);
    for end in [0.0, 10.0] {
        let off = to_mm(bore(exact(mm(end))).value) - to_mm(unknown.value);
        assert!((off.abs() / to_mm(unknown.sd) - 3f64.sqrt()).abs() < 1e-6);
        assert!(off.abs() < 0.04);
    }
}

/// Wear moves the strike point towards the centre pin: away from an upright's top bearing, nearer
/// to a grand's agraffe.
#[test]
fn wear_moves_the_strike_point_the_other_way_in_the_other_kind() {
    let station = Station::new(mm(47.0), mm(130.0), mm(0.0)).expect("station");
    let new = station.square_head(degrees(0.0), mm(6.0)).expect("head");
    let worn = new.less(mm(1.5)).expect("head");
    let strike = |head| station.contact(head).expect("contact").strike;
    let distance = |kind: ActionKind, end, head| {
        to_mm(kind.strike_distance(mm(end), strike(head)).expect("on the string"))
    };
    let upright = |head| distance(ActionKind::Upright, 134.0, head);
    let grand = |head| distance(ActionKind::Grand, 126.0, head);
    assert!((upright(&new) - 4.0).abs() < 1e-9 && (grand(&new) - 4.0).abs() < 1e-9);
    let shift = upright(&worn) - upright(&new);
    assert!(shift > 0.0 && (grand(&new) - grand(&worn) - shift).abs() < 1e-9);
}

#[test]
fn what_cannot_be_is_a_fault() {
    let station = Station::new(mm(54.0), mm(143.0), mm(0.0)).expect("station");
    let head = Head::new(mm(54.0), degrees(0.0), mm(9.0)).expect("head");
    let high = Station::new(mm(400.0), mm(143.0), mm(0.0)).expect("station");
    assert_eq!(high.contact(&head), Err(HammerFault::OutOfReach));
    assert_eq!(station.swing(&head, mm(300.0)), Err(HammerFault::BlowTooLong));
    let fault = station.rake_for_obliquity(mm(250.0), mm(9.0), degrees(0.0));
    assert_eq!(fault, Err(HammerFault::NoRake));
    let nan = Station::new(mm(f64::NAN), mm(143.0), mm(0.0));
    assert_eq!(nan, Err(HammerFault::NotFinite("string height")));
    assert_eq!(
        Station::new(mm(54.0), mm(-143.0), mm(0.0)),
        Err(HammerFault::NotPositive("hanging distance"))
    );
    let endless = Station::new(mm(54.0), mm(143.0), mm(f64::INFINITY));
    assert_eq!(endless, Err(HammerFault::NotFinite("shank offset")));
    assert_eq!(head.less(mm(50.0)), Err(HammerFault::NothingLeft));
    assert_eq!(head.less(mm(-1.0)), Err(HammerFault::Negative("felt lost")));
    let steep = Head::new(mm(54.0), degrees(90.0), mm(9.0));
    assert_eq!(steep, Err(HammerFault::TooSteep("rake")));
    let round = Head::new(mm(9.0), degrees(0.0), mm(9.0));
    assert_eq!(round, Err(HammerFault::CrownBeyondShank));
    let huge = Station::new(metres(1e308), metres(1.7e308), metres(1.7e308)).expect("finite");
    assert_eq!(huge.contact(&head), Err(HammerFault::OutOfReach));
    assert_eq!(huge.square_bore(degrees(60.0)), Err(HammerFault::OutOfReach));
}
