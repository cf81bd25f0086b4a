//! What can hurt, a row each: all that a rule, a page or the walk asks of a hazard. Knows no plan.

use crate::plan::model::Signal;

/// What there is to say of a hazard.
#[derive(Debug)]
pub struct Row {
    /// What a caution has to be against, any of them, to guard from it.
    pub guarded_by: &'static [Hazard],
    /// Where its caution is missing, that is a doubt and no fault.
    pub mild: bool,
    /// What happens to whoever has not been warned.
    pub unwarned: &'static str,
    /// What betrays it in the name, title or grade of a fluid, in whole words.
    pub fluids: &'static [&'static str],
    /// The same in the name or title of a part.
    pub parts: &'static [&'static str],
    /// Whether a fluid that has run out of its line still has it there.
    pub stays_in_the_line: bool,
    /// Whether a fresh fluid brings it when it is filled in.
    pub in_fresh: bool,
    /// Work that is left to licensed trades in most countries: who does it has to be said, and how is never printed.
    pub licensed: Option<Licensed>,
    /// An energy of it kills: that it is off has to be proved, not only done.
    pub proved_off: bool,
    /// A spark lights what it gives off.
    pub burns: bool,
    /// What to say about it, ready for a plan.
    pub caution: HouseCaution,
}

/// How prose asks for licensed work, by verb and thing in one sentence, where no act says it.
#[derive(Debug)]
pub struct Licensed {
    /// An empty word: the verb says it all.
    pub things: &'static [&'static str],
    /// What else a step says that is about it.
    pub about: &'static [&'static str],
    /// What may be meant by it in a step that is, or that works on a joint of it.
    pub vague: &'static [&'static str],
    /// Two words with dots between have the thing there: "let .. out".
    pub verbs: &'static [&'static str],
}

/// A text ready to be pasted into a plan or a workshop and then made the owner's own. It says what hurts and how to keep clear of it, and
/// never how licensed work is done. Common practice, no source; signal words as ANSI Z535.6 has them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HouseCaution {
    /// What it is called in a plan.
    pub name: &'static str,
    /// What can happen.
    pub title: &'static str,
    /// How grave it is, by ANSI Z535.6.
    pub signal: Signal,
    /// What it does to whom it catches.
    pub harm: &'static str,
    /// An order each.
    pub avoid: &'static [&'static str],
}

macro_rules! hazards {
    ($($(#[$doc:meta])* $hazard:ident $word:literal $row:tt)*) => {
        /// Cautions are tied to these, not to words.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum Hazard { $(#[doc = concat!("`", $word, "`")] $(#[$doc])* $hazard,)* }

        impl Hazard {
            /// Each hazard and the word that a plan writes for it.
            pub const ALL: &[(Hazard, &str)] = &[$((Hazard::$hazard, $word),)*];

            /// As a plan writes it behind `against`.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self {
                    $(Hazard::$hazard => $word,)*
                }
            }

            /// What there is to say of it.
            #[must_use]
            pub fn row(self) -> &'static Row {
                match self {
                    $(Hazard::$hazard => { static ROW: Row = Row $row; &ROW })*
                }
            }
        }
    };
}

hazards! {
    Fuel "fuel" {
        guarded_by: &[Hazard::Fuel],
        mild: false,
        unwarned: "Whoever has not read it lights the lamp, or has the heater on.",
        fluids: &["petrol", "gasoline", "diesel", "fuel", "paraffin", "kerosene"],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: true,
        caution: HouseCaution {
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
    }
    Pressure "pressure" {
        guarded_by: &[Hazard::Pressure, Hazard::Refrigerant, Hazard::Gas],
        mild: false,
        unwarned: "It comes out into the face.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: true,
        burns: false,
        caution: HouseCaution {
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
    }
    Spring "spring" {
        guarded_by: &[Hazard::Spring],
        mild: false,
        unwarned: "It leaves its seat at head height.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
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
    }
    Pyrotechnic "pyrotechnic" {
        guarded_by: &[Hazard::Pyrotechnic],
        mild: false,
        unwarned: "It goes off before whoever leans over it.",
        fluids: &[],
        parts: &["airbag", "airbags", "air bag", "pretensioner", "pretensioners", "seat belt tensioner", "srs", "gas generator", "pyrotechnic"],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: Some(Licensed { things: &["airbag", "airbag module", "airbag unit", "air bag", "pretensioner", "seat belt tensioner"], about: &[], vague: &[], verbs: &["unplug", "unbolt", "remove", "take out", "take off", "undo", "disconnect", "swap", "pull", "part", "unscrew", "take .. out", "take .. off"] }),
        proved_off: true,
        burns: false,
        caution: HouseCaution {
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
    }
    Refrigerant "refrigerant" {
        guarded_by: &[Hazard::Refrigerant],
        mild: false,
        unwarned: "It freezes eyes and hands, and fills a pit.",
        fluids: &["refrigerant", "r134a", "r1234yf", "r12", "r744"],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: Some(Licensed { things: &["refrigerant", "air conditioning gas", "air-conditioning gas", "air conditioning circuit", "air conditioning line", "aircon line", "aircon gas", "r134a", "r1234yf"], about: &["air conditioning", "air-conditioning", "air con", "aircon"], vague: &["the gas", "the line", "the lines", "the circuit", "the system", "the union", "the unions", "the hose", "the pipe"], verbs: &["vent", "drain", "release", "bleed", "recover", "evacuate", "discharge", "charge", "recharge", "let out", "let .. out", "let .. off", "take out", "take .. out", "blow .. off", "open", "crack", "undo", "loosen", "disconnect", "empty", "depressurise", "depressurize", "top up"] }),
        proved_off: false,
        burns: false,
        caution: HouseCaution {
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
    }
    Hot "hot" {
        guarded_by: &[Hazard::Hot],
        mild: true,
        unwarned: "It runs down a sleeve.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: false,
        in_fresh: false,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
            name: "house-hot",
            title: "Hot oil, water and metal",
            signal: Signal::Caution,
            harm: "Scalds and burns.",
            avoid: &[
                "Wait until a bare hand can rest on it.",
                "Open caps by a quarter turn and wait.",
            ],
        },
    }
    SuspendedLoad "suspended-load" {
        guarded_by: &[Hazard::SuspendedLoad],
        mild: false,
        unwarned: "Somebody stands beneath it.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
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
    }
    UnderVehicle "under-vehicle" {
        guarded_by: &[Hazard::UnderVehicle],
        mild: false,
        unwarned: "Somebody lies beneath it.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
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
    }
    Battery "battery" {
        guarded_by: &[Hazard::Battery, Hazard::HighVoltage],
        mild: true,
        unwarned: "A ring or a spanner shorts it.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
            name: "house-battery",
            title: "Batteries burn what shorts them, and give off gas",
            signal: Signal::Warning,
            harm: "Acid in the eyes, burns, fire.",
            avoid: &[
                "Goggles on, rings and watch off.",
                "Earth lead off first and on last.",
            ],
        },
    }
    BrakeFluid "brake-fluid" {
        guarded_by: &[Hazard::BrakeFluid],
        mild: true,
        unwarned: "It gets into an eye, or onto the paint.",
        fluids: &["brake fluid", "dot 3", "dot 4", "dot 5"],
        parts: &[],
        stays_in_the_line: false,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
            name: "house-brake-fluid",
            title: "Brake fluid stings, and eats paint",
            signal: Signal::Caution,
            harm: "Eyes and skin hurt; paint lifts.",
            avoid: &["Goggles and gloves on.", "Rinse at once with much water."],
        },
    }
    Dust "dust" {
        guarded_by: &[Hazard::Dust],
        mild: true,
        unwarned: "It is breathed in.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
            name: "house-dust",
            title: "Dust of linings and rust",
            signal: Signal::Caution,
            harm: "Eyes and lungs hurt.",
            avoid: &["Goggles and mask on.", "Wipe it wet, never blow it."],
        },
    }
    Sharp "sharp" {
        guarded_by: &[Hazard::Sharp],
        mild: true,
        unwarned: "Hands are where they should not be.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
            name: "house-sharp",
            title: "Sheet edges and swarf cut",
            signal: Signal::Caution,
            harm: "Cut hands.",
            avoid: &["Gloves on.", "A rag along the edge before a hand."],
        },
    }
    Crush "crush" {
        guarded_by: &[Hazard::Crush, Hazard::SuspendedLoad],
        mild: false,
        unwarned: "Hands are where they should not be.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
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
    }
    HighVoltage "high-voltage" {
        guarded_by: &[Hazard::HighVoltage],
        mild: false,
        unwarned: "It kills.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: Some(Licensed { things: &["high voltage", "high-voltage", "traction battery", "traction supply"], about: &[], vague: &[], verbs: &["open", "undo", "disconnect", "unplug", "pull", "part", "remove", "take out", "take .. out", "take .. off"] }),
        proved_off: true,
        burns: false,
        caution: HouseCaution {
            name: "house-high-voltage",
            title: "A high-voltage supply kills",
            signal: Signal::Danger,
            harm: "Electric shock. Death.",
            avoid: &[
                "Only whoever is licensed parts it.",
                "Switched off, locked off, key in the pocket, proved dead.",
            ],
        },
    }
    Welding "welding" {
        guarded_by: &[Hazard::Welding],
        mild: false,
        unwarned: "It blinds, and sets fire to what lies behind.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: Some(Licensed { things: &[""], about: &[], vague: &[], verbs: &["weld", "weld up", "tack weld", "re-weld"] }),
        proved_off: false,
        burns: false,
        caution: HouseCaution {
            name: "house-welding",
            title: "Welding burns, blinds and sets fire",
            signal: Signal::Warning,
            harm: "Burns, injured eyes, fire.",
            avoid: &[
                "Only a coded welder welds what carries.",
                "Screens up, fuel away, extinguisher at hand for an hour after.",
            ],
        },
    }
    Gas "gas" {
        guarded_by: &[Hazard::Gas],
        mild: false,
        unwarned: "It fills the shop, and finds a flame.",
        fluids: &["lpg", "cng", "propane", "butane", "acetylene", "hydrogen", "natural gas"],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: Some(Licensed { things: &["lpg", "cng", "gas bottle", "gas tank", "propane"], about: &[], vague: &["the gas", "the line", "the lines", "the circuit", "the system", "the union", "the bottle", "the tank"], verbs: &["vent", "open", "disconnect", "undo", "release", "empty", "unscrew", "let out", "let .. out", "let .. off", "crack", "loosen", "take out", "take .. out", "depressurise", "depressurize"] }),
        proved_off: true,
        burns: true,
        caution: HouseCaution {
            name: "house-gas",
            title: "Gas under pressure burns, bursts and chokes",
            signal: Signal::Danger,
            harm: "Explosion, choking. Death.",
            avoid: &[
                "Only whoever is licensed opens it.",
                "Doors open, no flame, nobody in a pit.",
            ],
        },
    }
    Fire "fire" {
        guarded_by: &[Hazard::Fire, Hazard::Welding],
        mild: false,
        unwarned: "Sparks smoulder in trim, and burn when everybody has gone home.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
            name: "house-fire",
            title: "Sparks and heat set fire to what lies behind",
            signal: Signal::Danger,
            harm: "Burns. Death.",
            avoid: &["Trim, sound deadening and rags out, fuel away.", "Extinguisher and water at hand, somebody watches the far side.", "Look again half an hour after the last spark."],
        },
    }
    ExhaustGas "exhaust-gas" {
        guarded_by: &[Hazard::ExhaustGas],
        mild: false,
        unwarned: "It has no smell, and puts to sleep whoever leans in.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
            name: "house-exhaust-gas",
            title: "Exhaust gas kills without a smell",
            signal: Signal::Danger,
            harm: "Unconsciousness. Death.",
            avoid: &["Doors open, or the pipe led outside.", "Nobody alone in the shop while it runs."],
        },
    }
    Glycol "glycol" {
        guarded_by: &[Hazard::Glycol],
        mild: true,
        unwarned: "A child or a dog finds the tray: it tastes sweet.",
        fluids: &["glycol", "antifreeze", "anti freeze"],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
            name: "house-glycol",
            title: "Antifreeze tastes sweet and poisons",
            signal: Signal::Caution,
            harm: "Poisoned, if drunk. Eyes hurt.",
            avoid: &["Cover the tray, and empty it into a marked can at once.", "Children and animals out."],
        },
    }
    Solvent "solvent" {
        guarded_by: &[Hazard::Solvent],
        mild: true,
        unwarned: "It is breathed in, and a spark lights it.",
        fluids: &["solvent", "thinner", "thinners", "brake cleaner", "acetone", "white spirit"],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: true,
        caution: HouseCaution {
            name: "house-solvent",
            title: "Solvent makes dizzy and burns",
            signal: Signal::Warning,
            harm: "Dizziness, burns. Serious injury.",
            avoid: &["Doors open, filter mask on, gloves on.", "No flame or spark near it; rags into a shut tin."],
        },
    }
    Noise "noise" {
        guarded_by: &[Hazard::Noise],
        mild: true,
        unwarned: "Ears ring in the evening, and one day they do so for good.",
        fluids: &[],
        parts: &[],
        stays_in_the_line: true,
        in_fresh: true,
        licensed: None,
        proved_off: false,
        burns: false,
        caution: HouseCaution {
            name: "house-noise",
            title: "Noise takes hearing",
            signal: Signal::Caution,
            harm: "Hearing hurt.",
            avoid: &["Ear defenders on, for whoever stands near too."],
        },
    }
}

impl Hazard {
    /// In the order of the list.
    pub fn all() -> impl Iterator<Item = Hazard> {
        Self::ALL.iter().map(|&(hazard, _)| hazard)
    }

    /// Whether its work is left to licensed trades.
    #[must_use]
    pub fn is_licensed(self) -> bool {
        self.row().licensed.is_some()
    }

    /// The house caution as a block of a plan, to be pasted.
    #[must_use]
    pub fn caution_block(self) -> String {
        let house = &self.row().caution;
        let signal = match house.signal {
            Signal::Danger => "danger",
            Signal::Warning => "warning",
            Signal::Caution => "caution",
            Signal::Notice => "notice",
        };
        let avoid: Vec<String> = house.avoid.iter().map(|order| format!("\"{order}\"")).collect();
        format!(
            "caution {} \"{}\"\n  signal {signal}\n  harm \"{}\"\n  avoid {}\n  against {}",
            house.name,
            house.title,
            house.harm,
            avoid.join(", "),
            self.word()
        )
    }
}
