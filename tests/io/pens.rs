//! Pens.

use crate::check_pens;
use evenfold::flock::AgeClass;
use evenfold::pen::{Face, Feeding, Floor};
use evenfold::quantity::{Metre, SquareMetre};

#[test]
fn a_full_pen_is_read() {
    let text = "Pen;Trough (m);Area (m²);Feeding;Floor;Blocked corners;Only;Not;Max head;places\n\
                A;12,5;45;always;slats;2;ewe lamb / shearling;;30;\nB;;40;;;;;Ewe lambs and hoggs;;24\n";
    let pens = check_pens(text, &[]);
    let [a, b] = pens.as_slice() else { panic!("{pens:?}") };
    assert_eq!((a.face, a.area), (Face::Trough(Metre::new(12.5)), SquareMetre::new(45.0)));
    assert_eq!(
        (a.feeding, a.floor, a.blocked_corners, a.max_head),
        (Feeding::Always, Floor::Slats, 2, Some(30))
    );
    assert_eq!(a.only, [AgeClass::EweLamb, AgeClass::Shearling]);
    assert_eq!((b.face, b.feeding, b.floor, b.row), (Face::Places(24), Feeding::Restricted, Floor::Straw, 3));
    assert_eq!((b.not.as_slice(), b.blocked_corners, b.max_head), (&[AgeClass::EweLamb][..], 0, None));
}

#[test]
fn pens_at_fault() {
    let head = "pen,trough_m,places,area_m2,feeding,floor,blocked_corners,only,not,max_head\n";
    for (row, expected) in [
        ("A,10,,40,,,,,,\n", &[][..]),
        ("A,10,8,40,,,,,,\n", &["2 places face-twice"]),
        ("A,,,40,,,,,,\n", &["2 trough_m face-missing"]),
        ("A,10,,,,,,,,\n", &["2 area_m2 area-missing"]),
        ("A,-1,,40,,,,,,\n", &["2 trough_m out-of-range"]),
        ("A,0,,40,,,,,,\n", &["2 trough_m out-of-range"]),
        ("A,10001,,40,,,,,,\n", &["2 trough_m out-of-range"]),
        ("A,150,,40,,,,,,\n", &["2 trough_m unlikely?"]),
        ("A,10,,50001,,,,,,\n", &["2 area_m2 out-of-range"]),
        ("A,10,,0,,,,,,\n", &["2 area_m2 out-of-range"]),
        ("A,10,,1500,,,,,,\n", &["2 area_m2 unlikely?"]),
        ("A,10m,,40 m2,,,,,,\n", &[]),
        ("A,10ft,,40,,,,,,\n", &["2 trough_m not-a-number"]),
        ("A,,7.5,40,,,,,,\n", &["2 places out-of-range"]),
        ("A,,8,40,,,1,,,\n", &["2 blocked_corners corners-without-trough"]),
        ("A,10,,40,sometimes,,,,,\n", &["2 feeding feeding-unknown"]),
        ("A,10,,40,,sand,,,,\n", &["2 floor floor-unknown"]),
        ("A,10,,40,,,-1,,,\n", &["2 blocked_corners out-of-range"]),
        ("A,10,,40,,,1.5,,,\n", &["2 blocked_corners out-of-range"]),
        ("A,10,,40,,,,lambs,,\n", &["2 only age-unknown"]),
        ("A,10,,40,,,,ewe lamb,hogg,\n", &["2 not pen-takes-none"]),
        ("A,10,,40,,,,,ewe lamb+shearling|mature,\n", &["2 not pen-takes-none"]),
        ("A,10,,40,,,,,,0\n", &["2 max_head out-of-range"]),
        (",10,,40,,,,,,\n", &["2 pen pen-missing"]),
        ("A,10,,40,,,,,,\nA,10,,40,,,,,,\n", &["3 pen duplicate-pen"]),
        ("A,10,,40,,,,,,\na,10,,40,,,,,,\n", &["3 pen pens-alike?"]),
        ("A,10,,40\n", &["2 cell-count"]),
    ] {
        let pens = check_pens(&format!("{head}{row}"), expected);
        let errors = expected.iter().filter(|said| !said.ends_with('?')).count();
        assert_eq!(pens.len(), row.lines().count() - errors, "{row}");
    }
    check_pens("pen,area_m2\nA,40\n", &["column-missing"]);
}
