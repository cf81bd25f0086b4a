//! What can hurt, as the plan's declarations tell it: by `against`, by the kind of an energy, and by what a thing is plainly called.
//! Knows no act.

use super::model::{Energy, EnergyKind, Fluid, Hazard, Head, Joint, Part, Rig, Scale};

/// Volts of direct current from which a supply counts as high, as road vehicles' rules have it (UN Regulation No. 100, from memory).
const HIGH_VOLTS: f64 = 60.0;

/// The same for alternating current.
const HIGH_VOLTS_ALTERNATING: f64 = 30.0;

/// Lower-case words of a name or title. A figure is a word of its own, with its decimals: "DOT4" is two, "650.5V" too.
fn words(text: &str) -> Vec<String> {
    let text: Vec<char> = text.to_lowercase().chars().collect();
    let digit = |at: usize| text.get(at).is_some_and(char::is_ascii_digit);
    let mut all: Vec<String> = Vec::new();
    let mut word = String::new();
    for (at, &c) in text.iter().enumerate() {
        let point = c == '.' && at > 0 && digit(at - 1) && digit(at + 1);
        let turns = word
            .chars()
            .next_back()
            .is_some_and(|last| c.is_alphanumeric() && (last.is_ascii_digit() != c.is_ascii_digit()));
        if (turns && !word.ends_with('.')) || !(c.is_alphanumeric() || point) {
            all.push(std::mem::take(&mut word));
        }
        if c.is_alphanumeric() || point {
            word.push(c);
        }
    }
    all.push(word);
    all.retain(|word| !word.is_empty());
    all
}

/// The words of a thing's name and title.
fn called(head: &Head) -> Vec<String> {
    words(&format!("{} {}", head.name, head.title.as_deref().unwrap_or("")))
}

fn fluid_called(fluid: &Fluid) -> Vec<String> {
    let mut all = called(&fluid.head);
    all.extend(words(fluid.grade.as_ref().map_or("", |said| &*said.value)));
    all
}

/// Whether these words stand in it, one after the other.
fn says(text: &[String], phrase: &str) -> bool {
    let phrase = words(phrase);
    text.windows(phrase.len()).any(|window| *window == *phrase)
}

fn says_any(text: &[String], phrases: &[&str]) -> bool {
    phrases.iter().any(|phrase| says(text, phrase))
}

fn add(all: &mut Vec<Hazard>, hazard: Hazard) {
    if !all.contains(&hazard) {
        all.push(hazard);
    }
}

/// What a fluid can do.
#[must_use]
pub fn of_fluid(fluid: &Fluid) -> Vec<Hazard> {
    let mut all: Vec<Hazard> = fluid.against.iter().map(|said| said.value).collect();
    let text = fluid_called(fluid);
    for hazard in Hazard::all().filter(|hazard| says_any(&text, hazard.row().fluids)) {
        add(&mut all, hazard);
    }
    all
}

/// What an energy can do, while it is live.
#[must_use]
pub fn of_energy(energy: &Energy) -> Vec<Hazard> {
    let mut all: Vec<Hazard> = energy.against.iter().map(|said| said.value).collect();
    match energy.kind.map(|said| said.value) {
        Some(EnergyKind::Electric) if is_high_voltage(energy) => add(&mut all, Hazard::HighVoltage),
        Some(EnergyKind::Electric) => add(&mut all, Hazard::Battery),
        Some(EnergyKind::Pressure) => add(&mut all, Hazard::Pressure),
        Some(EnergyKind::Spring) => add(&mut all, Hazard::Spring),
        Some(EnergyKind::Heat) => add(&mut all, Hazard::Hot),
        Some(EnergyKind::Gravity) => add(&mut all, Hazard::SuspendedLoad),
        Some(EnergyKind::Pyrotechnic) => add(&mut all, Hazard::Pyrotechnic),
        None => {}
    }
    all
}

/// Whether it says so, is called so, or has a figure of so many volts in its title.
fn is_high_voltage(energy: &Energy) -> bool {
    if energy
        .against
        .iter()
        .any(|said| said.value == Hazard::HighVoltage)
    {
        return true;
    }
    let text = called(&energy.head);
    let volts = text.windows(2).enumerate().any(|(at, pair)| {
        let [figure, unit] = pair else { return false };
        let one = match unit.as_str() {
            "v" | "volt" | "volts" | "vdc" | "vac" => 1.0,
            "kv" => 1000.0,
            _ => return false,
        };
        let alternating = unit == "vac" || text.get(at + 2).is_some_and(|word| word == "ac");
        let least = if alternating {
            HIGH_VOLTS_ALTERNATING
        } else {
            HIGH_VOLTS
        };
        figure.parse::<f64>().is_ok_and(|volts| volts * one >= least)
    });
    volts || says_any(&text, &["mains", "high voltage", "traction", "three phase"])
}

/// What a part can do by itself, by its name or title: an airbag or a seat belt's tensioner goes off.
pub fn of_part(part: &Part) -> impl Iterator<Item = Hazard> {
    let text = called(&part.head);
    Hazard::all().filter(move |hazard| says_any(&text, hazard.row().parts))
}

/// What a joint's own name or title betrays: the plug of an airbag.
pub fn of_joint(joint: &Joint) -> impl Iterator<Item = Hazard> {
    let text = called(&joint.head);
    Hazard::all().filter(move |hazard| says_any(&text, hazard.row().parts))
}

/// A pressure that the engine makes when it runs: that of its fuel, by name or title.
#[must_use]
pub fn is_fuel_pressure(energy: &Energy) -> bool {
    let fuel = ["fuel", "rail", "petrol", "gasoline", "diesel", "injection"];
    energy.kind.is_some_and(|kind| kind.value == EnergyKind::Pressure)
        && says_any(&called(&energy.head), &fuel)
}

/// By its name or title it has to do with what burns: a fuel pump, a petrol tank.
#[must_use]
pub fn is_by_fuel(part: &Part) -> bool {
    let text = called(&part.head);
    Hazard::all().any(|hazard| hazard.row().burns && says_any(&text, hazard.row().fluids))
}

/// Its name or title says that it is a battery.
#[must_use]
pub fn is_battery(part: &Part) -> bool {
    says_any(&called(&part.head), &["battery", "accumulator"])
}

/// By its name, title or grade it is what brakes are worked by.
#[must_use]
pub fn works_brakes(fluid: &Fluid) -> bool {
    let text = fluid_called(fluid);
    // A clutch is worked by the same fluid, and its release cylinder is none of the brakes'.
    says_any(&text, &["brake", "brakes", "dot"])
        && (says_any(&text, &["brake", "brakes"]) || !says_any(&text, &["clutch"]))
}

/// By its name or title the gas of an engine that runs makes it hot.
#[must_use]
pub fn gets_hot(part: &Part) -> bool {
    let hot = [
        "exhaust",
        "silencer",
        "muffler",
        "manifold",
        "downpipe",
        "tailpipe",
        "catalyst",
        "turbo",
        "turbocharger",
    ];
    let cold = ["inlet", "intake", "bracket", "hanger", "heat shield"];
    let text = called(&part.head);
    says_any(&text, &hot) && !says_any(&text, &cold)
}

/// By its name or title it is what the pistons of a brake push on: without it they come out.
#[must_use]
pub fn stops_a_piston(part: &Part) -> bool {
    let text = called(&part.head);
    // A drum of a winch, a disc of a clutch and the pad of a rest have nothing to do with it.
    let other = ["clutch", "winch", "rest", "seat", "bump", "jacking", "cable"];
    let pushed = [
        "shoe", "shoes", "pad", "pads", "drum", "drums", "disc", "discs", "disk", "disks", "rotor", "rotors",
    ];
    says_any(&text, &pushed) && !says_any(&text, &other)
}

/// By its name or title a car is steered, stopped or sprung by it, or its driver sits on it.
#[must_use]
pub fn is_driven_with(part: &Part) -> bool {
    let text = called(&part.head);
    let all = [
        "caliper",
        "calipers",
        "steering wheel",
        "steering rack",
        "steering column",
        "steering shaft",
        "track rod",
        "tie rod",
        "brake pedal",
        "master cylinder",
        "wheel cylinder",
        "seat",
        "harness",
        "belt",
        "coil",
        "spring",
        "springs",
        "damper",
        "strut",
        "shock absorber",
        "mount",
        "upright",
        "hub",
        "arm",
        "wishbone",
        "subframe",
        "battery",
    ];
    // A car goes round the yard without its rear bench, an armrest and the stay of its bonnet.
    let other = [
        "rear seat",
        "back seat",
        "bench",
        "passenger",
        "child",
        "rest",
        "wiper",
        "plate",
        "mirror",
        "radio",
        "bonnet",
        "hood",
        "hatch",
        "tailgate",
        "boot",
        "lid",
        "gas",
        "cap",
        "bump",
        "cover",
        "trim",
    ];
    stops_a_piston(part) || (says_any(&text, &all) && !says_any(&text, &other))
}

/// Whether what is weighed hangs from the scale, by its name or title.
#[must_use]
pub fn hangs(scale: &Scale) -> bool {
    let text = called(&scale.head);
    says_any(&text, &["hanging", "hook", "crane", "spring"])
}

/// Whether a rig hangs what it has from above: it has sling legs, or is called so. The plan has no word for it.
#[must_use]
pub fn hangs_from_above(rig: &Rig) -> bool {
    let text = called(&rig.head);
    let above = [
        "hoist", "crane", "sling", "slings", "chain", "chains", "hook", "gantry", "winch", "tackle", "beam",
    ];
    rig.legs.is_some() || says_any(&text, &above)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn phrases_are_whole_words() {
        let text = words("Brake-fluid, DOT 4 (sealed)");
        assert!(says(&text, "brake fluid") && says(&text, "dot 4"));
        assert!(!says(&text, "seal") && !says(&text, "fluid brake"));
        assert!(!says(&words(""), "fuel"));
    }

    #[test]
    fn a_figure_is_a_word_whether_or_not_it_stands_off_its_unit() {
        assert_eq!(words("Pack, 650.5V."), ["pack", "650.5", "v"]);
        assert_eq!(words("400 V 3.V2"), ["400", "v", "3", "v", "2"]);
        assert!(says(&words("fluid DOT4"), "dot 4") && says(&words("R-134a"), "r134a"));
        assert!(!says(&words("R134b"), "r134a") && !says(&words("DOT 41"), "dot 4"));
    }
}
