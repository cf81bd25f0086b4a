//! The mass path in letters, for a terminal: a row for each stage, its mass at the end, what it changed, and the step that the path takes.
//! Knows neither plan nor terminal.

use super::drawings::mass_path::Path;
use super::figures::decimal;
use super::words::cut;

/// Letters that the path has from its least mass to its greatest.
const SPAN: usize = 26;
const TITLE: usize = 28;

/// What a letter of the path stands for; the later ones are drawn over the earlier.
const MINIMUM: char = '#';
const TARGET: char = ':';
const LEVEL: char = '-';
const CORNER: char = '+';
const DOWN: char = '|';
const HERE: char = 'o';

/// The lines, a heading first; `titles` are those of the stages, as many as the path has. Where the columns are too few for the path, its
/// figures stand alone. None for a path that spans nothing.
#[must_use]
pub fn lines(path: &Path, titles: &[String], columns: usize) -> Option<Vec<String>> {
    let masses = || path.after.iter().map(|after| after.mass).chain([path.first]);
    let all = || masses().chain(path.target).chain(path.minimum);
    let least = all().fold(f64::INFINITY, f64::min);
    let most = all().fold(f64::NEG_INFINITY, f64::max);
    if most - least <= 0.0 {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a letter of a line"
    )]
    let column = |mass: f64| ((mass - least) / (most - least) * (SPAN - 1) as f64).round() as usize;
    let room = columns >= TITLE + 23 + SPAN;
    let figure = |mass: f64| decimal(mass, path.places);
    let mut lines = vec![format!(
        "By stage{:>width$}  change",
        path.unit,
        width = TITLE + 3
    )];
    let row = |mark: &str, title: &str, mass: f64, change: &str, drawn: &[char]| {
        let title = cut(title, TITLE - 1);
        let drawn: String = if room {
            drawn.iter().collect()
        } else {
            String::new()
        };
        let line = format!(
            "  {mark:>2} {title:TITLE$}{:>8}{change:>8}  {drawn}",
            figure(mass)
        );
        line.trim_end().to_owned()
    };
    let ground = || {
        let mut drawn = vec![' '; SPAN];
        for (mass, sign) in [(path.minimum, MINIMUM), (path.target, TARGET)] {
            if let Some(place) = mass.and_then(|mass| drawn.get_mut(column(mass))) {
                *place = sign;
            }
        }
        drawn
    };
    let put = |drawn: &mut Vec<char>, at: usize, sign: char| {
        if let Some(place) = drawn.get_mut(at) {
            *place = sign;
        }
    };
    let mut drawn = ground();
    put(&mut drawn, column(path.first), HERE);
    lines.push(row("", "first weighing", path.first, "", &drawn));
    let mut before = path.first;
    for (nth, after) in path.after.iter().enumerate() {
        let (from, to) = (column(before), column(after.mass));
        let mut drawn = ground();
        for at in from.min(to)..=from.max(to) {
            put(&mut drawn, at, LEVEL);
        }
        put(&mut drawn, from, CORNER);
        put(&mut drawn, to, if from == to { DOWN } else { CORNER });
        if nth + 1 == path.after.len() {
            put(&mut drawn, to, HERE);
        }
        let change = decimal(after.mass, path.places) != decimal(before, path.places);
        let change = match after.mass - before {
            _ if !change => String::new(),
            more if more > 0.0 => format!("+{}", figure(more)),
            less => figure(less),
        };
        let title = titles.get(nth).map_or("", String::as_str);
        lines.push(row(&after.mark, title, after.mass, &change, &drawn));
        before = after.mass;
    }
    let signs: Vec<String> = [
        (path.minimum, MINIMUM, "class minimum"),
        (path.target, TARGET, "target"),
    ]
    .into_iter()
    .filter_map(|(mass, sign, word)| Some(format!("{sign} {word} {}", figure(mass?))))
    .collect();
    if room && !signs.is_empty() {
        lines.push(format!("     {}", signs.join("   ")));
    }
    Some(lines)
}

#[cfg(test)]
mod tests {
    use super::super::drawings::mass_path::After;
    use super::*;

    #[test]
    fn a_step_for_each_stage_between_its_masses() {
        let after = |mark: &str, mass: f64| After {
            mark: mark.to_owned(),
            mass,
        };
        let path = Path {
            unit: "kg",
            places: 0,
            first: 125.0,
            after: vec![after("1", 100.0), after("2", 100.0), after("3", 110.0)],
            target: Some(109.0),
            minimum: None,
        };
        let titles = ["Strip", "Sort", "Build"].map(str::to_owned);
        let lines = super::lines(&path, &titles, 80).expect("it spans something");
        // 25 kg over 26 letters: one letter a kilogram.
        let drawn: Vec<String> = lines
            .iter()
            .skip(1)
            .map(|line| line.chars().skip(51).collect())
            .collect();
        assert_eq!(
            drawn,
            [
                "         :               o",
                "+------------------------+",
                "|        :",
                "+---------o",
                ""
            ]
        );
        assert!(
            lines.get(2).is_some_and(|line| line.contains("100     −25")),
            "{lines:#?}"
        );
        assert_eq!(lines.last().map(String::as_str), Some("     : target 109"));
        assert!(
            super::lines(
                &Path {
                    target: None,
                    after: Vec::new(),
                    ..path
                },
                &[],
                80
            )
            .is_none()
        );
    }
}
