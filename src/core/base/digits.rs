//! How many digits a reckoned figure is printed with: the one place for findings and pages. Knows neither plans nor wording.

/// Which way a converted figure may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// To the nearest last place, a half away from nothing.
    Nearest,
    /// A rating, the top of a torque band: never more than what was written.
    Under,
    /// A class minimum, the bottom of a band: never less.
    Over,
}

/// Power of ten of the leading digit: 0 for 1 to 9, 1 for 10 to 99, and 0 for nothing.
#[must_use]
#[expect(clippy::cast_possible_truncation, reason = "a power of ten is small")]
pub fn magnitude(size: f64) -> i32 {
    if size == 0.0 {
        return 0;
    }
    size.abs().log10().floor() as i32
}

/// To so many decimals.
#[must_use]
pub fn rounded(value: f64, places: i32) -> f64 {
    let ten = 10f64.powi(places);
    (value * ten).round() / ten
}

/// Decimals with which a value has three figures; less than nothing where the last of them are before the point.
#[must_use]
pub fn places_of_three(value: f64) -> i32 {
    2 - magnitude(value)
}

/// A torque or a limit in another unit: three figures, as a wrench is set and a plate is read, however few were given. 90 lbf ft are
/// 122 N·m; 120 would be 1.6 % under it.
#[must_use]
pub fn three_figures(side: Side, value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let places = places_of_three(value);
    let ten = 10f64.powi(places);
    let scaled = value * ten;
    // A figure that is whole but for the last bit stays.
    let hair = 1e-9 * scaled.abs();
    let whole = match side {
        Side::Nearest => scaled.round(),
        Side::Under => (scaled + hair).floor(),
        Side::Over => (scaled - hair).ceil(),
    };
    // A limit is whole where next to nothing is given away by it: 25 kg are 55 lb.
    let coarse = match side {
        Side::Under => value.floor(),
        Side::Nearest | Side::Over => value.ceil(),
    };
    if side != Side::Nearest && (10.0..100.0).contains(&value) && (coarse - value).abs() <= 0.005 * value {
        return decimal(coarse, 0);
    }
    decimal(whole / ten, places)
}

/// A value with so many decimals, and a true minus.
#[must_use]
pub fn decimal(value: f64, places: i32) -> String {
    // A half goes up, as it does on paper: the formatter would make 0.2 of 0.25.
    let size = rounded(value.abs(), places.clamp(0, 9));
    let places = usize::try_from(places).unwrap_or(0);
    let text = format!("{size:.places$}");
    let is_zero = text.bytes().all(|b| matches!(b, b'0' | b'.'));
    if value < 0.0 && !is_zero {
        format!("\u{2212}{text}")
    } else {
        text
    }
}

/// "410 GBP", "1800.50 GBP": a sum in hundredths, with these where there are any.
#[must_use]
pub fn money(cents: i64, currency: [u8; 3]) -> String {
    format!("{} {}", sum(cents), String::from_utf8_lossy(&currency))
}

/// The same without its currency.
#[must_use]
pub fn sum(cents: i64) -> String {
    let sign = if cents < 0 { "\u{2212}" } else { "" };
    let size = cents.unsigned_abs();
    match size % 100 {
        0 => format!("{sign}{}", size / 100),
        rest => format!("{sign}{}.{rest:02}", size / 100),
    }
}

/// What a length is printed in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ruler {
    /// To so many millimetres.
    Millimetres(f64),
    /// To a tenth.
    Inches,
}

impl Ruler {
    fn figure(self, mm: f64) -> String {
        match self {
            Ruler::Millimetres(step) => decimal((mm / step).round() * step, 0),
            Ruler::Inches => decimal(mm / 25.4, 1),
        }
    }

    fn unit(self) -> &'static str {
        match self {
            Ruler::Millimetres(_) => "mm",
            Ruler::Inches => "in",
        }
    }

    /// "1120 mm", "44.1 in".
    #[must_use]
    pub fn length(self, mm: f64) -> String {
        format!("{} {}", self.figure(mm), self.unit())
    }

    /// "97 ± 56 mm": a length with what covers about 95 % of how well it is known.
    #[must_use]
    pub fn length_within(self, mm: f64, covers: f64) -> String {
        format!("{} ± {} {}", self.figure(mm), self.figure(covers), self.unit())
    }
}
