//! House cautions: a text for each hazard, ready to be pasted into a plan or a workshop and then made the owner's own. They say what
//! hurts and how to keep clear of it, and never how licensed work is done. Knows hazards, no plan.

use crate::plan::model::{Hazard, Signal};

/// One caution, as the language writes it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HouseCaution {
    pub hazard: Hazard,
    /// What it is called in a plan.
    pub name: &'static str,
    pub title: &'static str,
    pub signal: Signal,
    pub harm: &'static str,
    pub avoid: &'static [&'static str],
}

/// A caution for each hazard. Common practice, no source; signal words as ANSI Z535.6 has them.
pub const ALL: &[HouseCaution] = &[
    HouseCaution {
        hazard: Hazard::Fuel,
        name: "house-fuel",
        title: "Fuel vapour catches fire",
        signal: Signal::Danger,
        harm: "Burns. Death.",
        avoid: &[
            "No flame, spark, heater or lead lamp with a bulb within six metres.",
            "Doors open, extinguisher within reach.",
            "Spilt fuel is wiped up at once, rags outside.",
        ],
    },
    HouseCaution {
        hazard: Hazard::Pressure,
        name: "house-pressure",
        title: "Something under pressure lets go",
        signal: Signal::Warning,
        harm: "Eyes and skin injured by jet or parts.",
        avoid: &[
            "Let the pressure off and see that it is off.",
            "Goggles on, face out of the line.",
            "Open by half a turn and wait.",
        ],
    },
    HouseCaution {
        hazard: Hazard::Spring,
        name: "house-spring",
        title: "A loaded spring flies",
        signal: Signal::Danger,
        harm: "Struck in head or chest. Death or serious injury.",
        avoid: &[
            "Hold it by a rig that can take its force before anything is undone.",
            "Chain it to what stays.",
            "Nobody in line with it.",
        ],
    },
    HouseCaution {
        hazard: Hazard::Pyrotechnic,
        name: "house-charge",
        title: "An airbag or belt tensioner goes off",
        signal: Signal::Warning,
        harm: "Burns, broken bones, lost hearing.",
        avoid: &[
            "Only whoever is licensed touches it, by the maker's procedure.",
            "Nobody before it or above it.",
            "Nothing is measured or powered while it is parted.",
        ],
    },
    HouseCaution {
        hazard: Hazard::Refrigerant,
        name: "house-refrigerant",
        title: "Refrigerant freezes skin and displaces air",
        signal: Signal::Warning,
        harm: "Frostbite, blindness, choking.",
        avoid: &[
            "Only whoever is licensed opens the circuit.",
            "Goggles and gloves on, doors open, nobody in a pit.",
            "No flame near it.",
        ],
    },
    HouseCaution {
        hazard: Hazard::Hot,
        name: "house-hot",
        title: "Hot oil, water and metal",
        signal: Signal::Caution,
        harm: "Scalds and burns.",
        avoid: &[
            "Wait until a bare hand can rest on it.",
            "Open caps by a quarter turn and wait.",
        ],
    },
    HouseCaution {
        hazard: Hazard::SuspendedLoad,
        name: "house-suspended",
        title: "A hung load swings or drops",
        signal: Signal::Warning,
        harm: "Crushed or struck. Serious injury.",
        avoid: &[
            "Nobody beneath it or where it would swing.",
            "Steer it with a rope.",
            "Set it down before you leave it.",
        ],
    },
    HouseCaution {
        hazard: Hazard::UnderVehicle,
        name: "house-under",
        title: "A raised vehicle comes down",
        signal: Signal::Danger,
        harm: "Crushed under it. Death or serious injury.",
        avoid: &[
            "On locks or stands before any hand goes below; never on a jack.",
            "Push hard at each corner: nothing may move.",
            "Somebody knows that you are under it.",
        ],
    },
    HouseCaution {
        hazard: Hazard::Battery,
        name: "house-battery",
        title: "Batteries burn what shorts them, and give off gas",
        signal: Signal::Warning,
        harm: "Acid in the eyes, burns, fire.",
        avoid: &[
            "Goggles on, rings and watch off.",
            "Earth lead off first and on last.",
        ],
    },
    HouseCaution {
        hazard: Hazard::BrakeFluid,
        name: "house-brake-fluid",
        title: "Brake fluid stings, and eats paint",
        signal: Signal::Caution,
        harm: "Eyes and skin hurt; paint lifts.",
        avoid: &["Goggles and gloves on.", "Rinse at once with much water."],
    },
    HouseCaution {
        hazard: Hazard::Dust,
        name: "house-dust",
        title: "Dust of linings and rust",
        signal: Signal::Caution,
        harm: "Eyes and lungs hurt.",
        avoid: &["Goggles and mask on.", "Wipe it wet, never blow it."],
    },
    HouseCaution {
        hazard: Hazard::Sharp,
        name: "house-sharp",
        title: "Sheet edges and swarf cut",
        signal: Signal::Caution,
        harm: "Cut hands.",
        avoid: &["Gloves on.", "A rag along the edge before a hand."],
    },
    HouseCaution {
        hazard: Hazard::Crush,
        name: "house-crush",
        title: "Fingers between heavy things",
        signal: Signal::Warning,
        harm: "Fingers or hands crushed.",
        avoid: &[
            "Hold by the outer edges.",
            "Line holes up with a drift.",
            "One person gives the word.",
        ],
    },
    HouseCaution {
        hazard: Hazard::HighVoltage,
        name: "house-high-voltage",
        title: "A high-voltage supply kills",
        signal: Signal::Danger,
        harm: "Electric shock. Death.",
        avoid: &[
            "Only whoever is licensed parts it.",
            "Switched off, locked off, key in the pocket, proved dead.",
        ],
    },
    HouseCaution {
        hazard: Hazard::Welding,
        name: "house-welding",
        title: "Welding burns, blinds and sets fire",
        signal: Signal::Warning,
        harm: "Burns, injured eyes, fire.",
        avoid: &[
            "Only a coded welder welds what carries.",
            "Screens up, fuel away, extinguisher at hand for an hour after.",
        ],
    },
    HouseCaution {
        hazard: Hazard::Gas,
        name: "house-gas",
        title: "Gas under pressure burns, bursts and chokes",
        signal: Signal::Danger,
        harm: "Explosion, choking. Death.",
        avoid: &[
            "Only whoever is licensed opens it.",
            "Doors open, no flame, nobody in a pit.",
        ],
    },
];

/// The house caution against a hazard.
#[must_use]
pub fn against(hazard: Hazard) -> Option<&'static HouseCaution> {
    ALL.iter().find(|house| house.hazard == hazard)
}

impl HouseCaution {
    /// The whole block, as it can be pasted.
    #[must_use]
    pub fn block(&self) -> String {
        let signal = match self.signal {
            Signal::Danger => "danger",
            Signal::Warning => "warning",
            Signal::Caution => "caution",
            Signal::Notice => "notice",
        };
        let avoid: Vec<String> = self.avoid.iter().map(|order| format!("\"{order}\"")).collect();
        format!(
            "caution {} \"{}\"\n  signal {signal}\n  harm \"{}\"\n  avoid {}\n  against {}",
            self.name,
            self.title,
            self.harm,
            avoid.join(", "),
            self.hazard.word()
        )
    }
}
