//! How high heads and nuts are, to draw them at true size. Look-up tables; knows neither joints nor drawings.

use super::amounts::Millimetres;
use crate::base::citation::Citation;

/// Hexagon heads, nominal height k.
pub const ISO_4014: Citation = Citation {
    work: "ISO 4014:2011 and ISO 4017, hexagon head bolts and screws, product grades A and B",
    place: "table 1, k nominal",
};
/// Cylinder heads: height k is the thread's diameter; diameter dk.
pub const ISO_4762: Citation = Citation {
    work: "ISO 4762:2004, hexagon socket head cap screws",
    place: "table 1, k and dk maximum, plain head",
};

/// Size, k of ISO 4014, dk of ISO 4762.
const ROWS: &[(f64, f64, f64)] = &[
    (3.0, 2.0, 5.5),
    (4.0, 2.8, 7.0),
    (5.0, 3.5, 8.5),
    (6.0, 4.0, 10.0),
    (8.0, 5.3, 13.0),
    (10.0, 6.4, 16.0),
    (12.0, 7.5, 18.0),
    (14.0, 8.8, 21.0),
    (16.0, 10.0, 24.0),
    (18.0, 11.5, 27.0),
    (20.0, 12.5, 30.0),
    (24.0, 15.0, 36.0),
];

fn row(diameter: Millimetres) -> Option<&'static (f64, f64, f64)> {
    ROWS.iter().find(|(size, ..)| (size - diameter.0).abs() < 1e-9)
}

/// Height of a hexagon head; none where the size is not listed.
#[must_use]
pub fn hexagon_high(diameter: Millimetres) -> Option<Millimetres> {
    row(diameter).map(|(_, high, _)| Millimetres(*high))
}

/// Diameter of a cylinder head, which is as high as its thread is thick; none where the size is not listed.
#[must_use]
pub fn cylinder_across(diameter: Millimetres) -> Option<Millimetres> {
    row(diameter).map(|(.., across)| Millimetres(*across))
}

#[cfg(test)]
mod tests {
    use super::{Millimetres, cylinder_across, hexagon_high};

    /// Tables of makers of bolts that name ISO 4014 (mean of k maximum and k minimum: 5.45 and 5.15 for M8, 6.58 and 6.22 for M10, 7.68 and 7.32 for
    /// M12, 12.715 and 12.285 for M20) and ISO 4762.
    #[test]
    fn heights_of_heads_are_those_of_the_standard() {
        for (size, least, most) in [
            (8.0, 5.15, 5.45),
            (10.0, 6.22, 6.58),
            (12.0, 7.32, 7.68),
            (14.0, 8.62, 8.98),
            (20.0, 12.285, 12.715),
        ] {
            let high = hexagon_high(Millimetres(size)).expect("listed").0;
            assert!((high - (least + most) / 2.0).abs() < 0.005, "M{size}: {high}");
        }
        assert_eq!(
            cylinder_across(Millimetres(10.0)).map(|across| across.0),
            Some(16.0)
        );
        assert!(hexagon_high(Millimetres(7.3)).is_none());
    }
}
