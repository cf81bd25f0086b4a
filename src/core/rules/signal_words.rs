//! A caution's signal word against the harm that it names: DANGER and WARNING for death and serious injury, CAUTION for less, NOTICE for
//! things only. Judged by plain words, and silent where they are not plain. Knows cautions, no act.

use super::rule;
use crate::base::finding::Finding;
use crate::plan::model::{Caution, Plan, Signal};
use crate::reckon::signal::Harm;

rule!(
    SIGNAL_AGAINST_HARM,
    "signal-against-harm",
    Advice,
    true,
    "A caution's signal word promises another harm than its own text."
);

/// Beginnings of words that mean death or serious injury.
const SERIOUS: &[&str] = &[
    "death",
    "die",
    "dies",
    "dead",
    "kill",
    "killed",
    "kills",
    "fatal",
    "maim",
    "maimed",
    "amputat",
    "paralys",
    "electrocut",
    "suffocat",
    "drown",
    "blindness",
];
/// Words that only go with people.
const INJURY: &[&str] = &[
    "acid",
    "ankle",
    "arm",
    "back",
    "blind",
    "bone",
    "bones",
    "bruise",
    "bruised",
    "bruises",
    "burn",
    "burned",
    "burns",
    "burnt",
    "chest",
    "chok",
    "crushed",
    "cut",
    "cuts",
    "deaf",
    "deafness",
    "ear",
    "ears",
    "eye",
    "eyes",
    "face",
    "feet",
    "finger",
    "fingers",
    "foot",
    "frostbite",
    "hand",
    "hands",
    "head",
    "hearing",
    "hurt",
    "hurts",
    "injur",
    "knee",
    "leg",
    "lung",
    "lungs",
    "nose",
    "pain",
    "pinched",
    "pinned",
    "poison",
    "scald",
    "shock",
    "sick",
    "skin",
    "splinter",
    "struck",
    "sting",
    "stings",
    "tooth",
    "trapped",
    "wrist",
];
/// Words that go with things.
const THINGS: &[&str] = &[
    "bent",
    "broken",
    "casting",
    "chipped",
    "clip",
    "connector",
    "cracked",
    "damage",
    "damaged",
    "dent",
    "dented",
    "gasket",
    "glass",
    "loom",
    "paint",
    "panel",
    "pipe",
    "plastic",
    "rust",
    "scratch",
    "scratched",
    "scratches",
    "seal",
    "sensor",
    "sill",
    "spoiled",
    "stain",
    "stained",
    "stripped",
    "thread",
    "threads",
    "torn",
    "trim",
    "wing",
    "wings",
    "wiring",
];

fn any(text: &str, list: &[&str]) -> bool {
    text.to_lowercase()
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .any(|word| {
            list.iter().any(|known| {
                // Stems of six letters and more stand for what is made of them.
                word == *known
                    || known.len() >= 6 && word.starts_with(known)
                    || *known == "injur" && word.starts_with(known)
            })
        })
}

/// The harm that a text plainly names; none where it does not.
#[must_use]
pub fn harm_of(text: &str) -> Option<Harm> {
    let lower = text.to_lowercase();
    if any(text, SERIOUS) || lower.contains("serious injury") || lower.contains("serious injuries") {
        Some(Harm::Serious)
    } else if any(text, INJURY) {
        Some(Harm::Minor)
    } else if any(text, THINGS) {
        Some(Harm::Property)
    } else {
        None
    }
}

pub(super) fn check(plan: &Plan, findings: &mut Vec<Finding>) {
    for caution in plan.cautions.values() {
        findings.extend(judge(caution));
    }
}

fn judge(caution: &Caution) -> Option<Finding> {
    let (signal, harm) = (caution.signal?, caution.harm.as_ref()?);
    let (fitting, words) = match (signal.value, harm_of(&harm.value)?) {
        (Signal::Caution | Signal::Notice, Harm::Serious) => (
            "warning, or danger if it is sure to happen",
            "death or serious injury",
        ),
        (Signal::Notice, Harm::Minor) => ("caution; warning where it is serious", "somebody hurt"),
        (Signal::Danger | Signal::Warning | Signal::Caution, Harm::Property) => {
            ("notice", "things, and nobody hurt")
        }
        _ => return None,
    };
    let word = match signal.value {
        Signal::Danger => "danger",
        Signal::Warning => "warning",
        Signal::Caution => "caution",
        Signal::Notice => "notice",
    };
    let name = &caution.head.name;
    Some(
        Finding::new(
            &SIGNAL_AGAINST_HARM,
            format!("caution `{name}` is a {word}, and its harm is {words}"),
        )
        .at(signal.at, "the word")
        .at(harm.at, "the harm")
        .harm("A word that is too mild is read past; one that is too strong wears the others out.")
        .mend(format!("Write signal {fitting}; or say the harm as it is"))
        .about(name.to_string()),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn harms_in_plain_words() {
        for (text, harm) in [
            ("Crushed. Death or serious injury.", Some(Harm::Serious)),
            ("Injured eyes.", Some(Harm::Minor)),
            ("Broken finger.", Some(Harm::Minor)),
            ("Scratched wings and sills.", Some(Harm::Property)),
            ("It takes all day.", None),
            ("", None),
        ] {
            assert_eq!(harm_of(text), harm, "{text}");
        }
    }
}
