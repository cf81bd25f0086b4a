//! Which blank a statement fills: one that says the same up to `to come`. Compares words and names, and reads no meaning but that lists of
//! names are lists.

use std::collections::BTreeSet;

use super::edits::Edit;
use super::tokens::Words;
use crate::plan::model::Plan;
use crate::syntax::tree::TokenKind;

/// The edits that fill the blanks of a statement of the plan with what was given; none where it has no blank, or another.
pub fn filled(plan: &Plan, standing: &Words<'_>, given: &Words<'_>) -> Option<Vec<Edit>> {
    if given.text(0) != standing.text(0) {
        return None;
    }
    let blanks = standing.blanks();
    let Some(&first) = blanks.first() else {
        return measure_without_figure(standing, given);
    };
    let mut from = (0, 0);
    if standing.text(0) == "reads" {
        // `reads a, b` is `reads b, a`, and `both a` is its two sides.
        let figure = given.all.iter().position(|word| word.0 == TokenKind::Number)?;
        if names(plan, standing, first) != names(plan, given, figure) {
            return None;
        }
        from = (first, figure);
    }
    let mut runs = Vec::new();
    if !fits(standing, given, from, &mut runs) {
        return None;
    }
    blanks
        .iter()
        .zip(runs)
        .map(|(&blank, (start, end))| {
            let (from, to) = (standing.all.get(blank)?, standing.all.get(blank + 1)?);
            Some(Edit::new(from.2.to(to.2), given_text(given, start, end)))
        })
        .collect()
}

/// Whether a statement of the plan says what was given: the same words, or the same reading of the same things.
pub fn says(plan: &Plan, standing: &Words<'_>, given: &Words<'_>) -> bool {
    if standing.same(given) {
        return true;
    }
    if standing.text(0) != "reads" || given.text(0) != "reads" {
        return false;
    }
    let figure = |words: &Words<'_>| words.all.iter().position(|word| word.0 == TokenKind::Number);
    let (Some(there), Some(own)) = (figure(standing), figure(given)) else {
        return false;
    };
    let texts = |words: &Words<'_>, from: usize| -> Vec<String> {
        let rest = words.all.get(from..).unwrap_or_default();
        rest.iter().map(|word| word.1.to_owned()).collect()
    };
    let (mut there_says, own_says) = (texts(standing, there), texts(given, own));
    // Words behind it may stand there and not be said again.
    if there_says.len() == own_says.len() + 1
        && standing.all.last().is_some_and(|word| word.0 == TokenKind::Text)
    {
        there_says.pop();
    }
    there_says == own_says && names(plan, standing, there) == names(plan, given, own)
}

/// Words of a run, with a gap where there was one.
fn given_text(given: &Words<'_>, start: usize, end: usize) -> String {
    let run = Words {
        all: given.all.get(start..end).unwrap_or_default().to_vec(),
    };
    run.shown()
}

/// Whether what was given says the same, with something for each blank; `runs` are what stands there instead.
fn fits(
    standing: &Words<'_>,
    given: &Words<'_>,
    (mut at, mut own): (usize, usize),
    runs: &mut Vec<(usize, usize)>,
) -> bool {
    while at < standing.all.len() {
        if standing.is_blank(at) {
            let known = runs.len();
            for end in own + 1..=given.all.len() {
                if given.is_blank(end - 1) {
                    return false;
                }
                runs.push((own, end));
                if fits(standing, given, (at + 2, end), runs) {
                    return true;
                }
                runs.truncate(known);
            }
            return false;
        }
        // Words that stand behind the blank stay, said again or not.
        let words_left = at + 1 == standing.all.len() && standing.kind(at) == Some(TokenKind::Text);
        if words_left && own == given.all.len() && !runs.is_empty() {
            return true;
        }
        if standing.text(at) != given.text(own) {
            return false;
        }
        at += 1;
        own += 1;
    }
    own == given.all.len()
}

/// `measure toe` has a blank that it does not name.
fn measure_without_figure(standing: &Words<'_>, given: &Words<'_>) -> Option<Vec<Edit>> {
    let bare = standing.text(0) == "measure" && standing.all.len() == 2 && given.all.len() > 2;
    if !bare || standing.text(1) != given.text(1) || given.is_blank(2) {
        return None;
    }
    let last = standing.all.last()?.2;
    let text = given_text(given, 2, given.all.len());
    Some(vec![Edit::new(last.after(), format!(" {text}"))])
}

/// The names of a list up to a word, families taken apart.
fn names(plan: &Plan, words: &Words<'_>, end: usize) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    let mut many = false;
    for word in words.all.get(1..end).unwrap_or_default() {
        match word.1 {
            "," => {}
            "both" | "all" => many = true,
            name if many => {
                many = false;
                all.extend(family(plan, name));
            }
            name => {
                all.insert(name.to_owned());
            }
        }
    }
    all
}

/// The members of a family by its name or its plural, as the language has it; the name itself where there is none.
fn family(plan: &Plan, name: &str) -> Vec<String> {
    let known = super::tokens::known_names(plan);
    let members = super::tokens::stems(name).into_iter().map(|stem| -> Vec<String> {
        let own = known.iter().filter(|other| is_member(other, &stem));
        own.map(|other| (*other).to_owned()).collect()
    });
    let mut found = members.filter(|members| !members.is_empty());
    found.next().unwrap_or_else(|| vec![name.to_owned()])
}

/// Whether a name is that of one of a family: `upright-left` of `upright`.
fn is_member(other: &str, family: &str) -> bool {
    let Some(rest) = other.strip_prefix(family).and_then(|rest| rest.strip_prefix('-')) else {
        return false;
    };
    let side = |word: &str| matches!(word, "left" | "right" | "front" | "rear");
    let number = |word: &str| word.chars().all(|c| c.is_ascii_digit());
    !rest.is_empty() && rest.split('-').all(|word| side(word) || number(word))
}

/// Whether a statement of the plan has another figure for the same thing.
pub fn says_other(standing: &Words<'_>, given: &Words<'_>) -> bool {
    let figure = |words: &Words<'_>| words.all.iter().position(|word| word.0 == TokenKind::Number);
    let (Some(there), Some(own)) = (figure(standing), figure(given)) else {
        return false;
    };
    let texts = |words: &Words<'_>, end: usize| -> Vec<String> {
        let list = words.all.get(..end).unwrap_or_default();
        list.iter().map(|word| word.1.to_owned()).collect()
    };
    own > 1 && texts(standing, there) == texts(given, own)
}
