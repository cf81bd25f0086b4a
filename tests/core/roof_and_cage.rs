//! What a new user's plan of a roof, seats and a cage showed: wrong plans beside sound ones. The plans are our own; what is dangerous in them is common
//! practice, no source.

use boltfolio_core::analysis::pace::Paces;
use boltfolio_core::base::date::Date;
use boltfolio_core::binder::document::{Block, CardRow, text_of};
use boltfolio_core::binder::{Wanted, bind};

use crate::support::{compile_text, tells, tells_not};

const HEAD: &str = "plan p \"P\"; for v; crew a, b\nvehicle v \"V\"; body shell\nperson a; lifts 30 kg\nperson b; lifts 30 kg\n";

fn seat(plug: &str, caution: &str) -> String {
    format!(
        "{HEAD}caution bang \"Bang\"; signal danger; harm \"Death.\"; avoid \"Earth off.\"; against {caution}\n\
         part seat \"Driver's seat\"; mass 15 kg; afterwards for sale\n\
         joint seat-bolts: seat to shell; carries; gone; bolts 4 x M10x1.5\n\
         joint yellow \"{plug}\": seat to shell; plug; gone\n\
         step out \"Seat out\"; by a, b; caution bang; time 10 min; hold seat by b; undo yellow, seat-bolts; take off seat; set seat down on floor\n"
    )
}

/// Nobody called the seat an airbag; its plug says it.
#[test]
fn a_plug_called_after_the_airbag_is_one_of_an_airbag() {
    tells(
        "hazard-without-caution",
        &seat("Yellow plug of the airbag", "crush"),
    );
    tells("licensed-work", &seat("Yellow plug of the airbag", "pyrotechnic"));
    tells_not(
        "hazard-without-caution",
        &seat("Yellow plug of the heater", "crush"),
    );
    tells_not("licensed-work", &seat("Yellow plug of the heater", "crush"));
}

#[test]
fn a_scale_is_asked_about_what_a_thing_likely_weighs() {
    let weighed = |kg: &str| {
        format!(
            "{HEAD}scale hook; capacity 20 kg; division 0.1 kg\npart seat; mass {kg}; afterwards for sale\n\
             joint bolts: seat to shell; carries; gone; bolts 4 x M10x1.5\n\
             step out; by a, b; hold seat by b; undo bolts; take off seat; set seat down on floor; weigh seat with hook\n"
        )
    };
    tells("beyond-scale", &weighed("25 kg"));
    tells_not("beyond-scale", &weighed("18 kg"));
}

/// An inch bolt has a grade (SAE J429), a metric nut a class (ISO 898-2).
#[test]
fn a_bare_number_is_a_grade_on_an_inch_bolt_and_a_class_on_a_metric_nut() {
    let facts = |fixing: &str| {
        let text = format!(
            "{HEAD}part belt; mass 1 kg; afterwards for sale\njoint eye: belt to shell; carries; gone; {fixing}\nstep out; by a, b; hold belt by b; undo eye; take off belt\n"
        );
        let document = bind(
            &compile_text(&text),
            &Wanted::printed(Date {
                year: 2026,
                month: 6,
                day: 1,
            }),
        );
        let mut all = String::new();
        for block in document.sections.iter().flat_map(|section| &section.blocks) {
            let Block::Card(card) = block else { continue };
            for row in &card.rows {
                if let CardRow::Act(row) = row {
                    row.facts.iter().for_each(|fact| all.push_str(&text_of(fact)));
                }
            }
        }
        all
    };
    let inch = facts("bolts 2 x 7/16-20 grade 8");
    assert!(inch.contains("grade 8") && !inch.contains("class"), "{inch}");
    let nut = facts("nuts 2 x M10x1.5 class 8");
    assert!(nut.contains("class 8") && !nut.contains("grade"), "{nut}");
}

/// A log may count what a step waits, or leave it out: neither is slowness.
#[test]
fn what_a_step_waits_is_no_slowness() {
    let factor = |took: &str| {
        let done = compile_text(&format!(
            "{HEAD}step dead; by a; wait 10 min \"charges drain\"; look \"Key on: no lamp\"; time 10 min\nlog dead; done 2026-06-12 by a; took {took}\n"
        ));
        Paces::of(&done.plan).common.factor()
    };
    let as_planned = factor("10 min");
    assert!((factor("20 min") - as_planned).abs() < 1e-9, "{as_planned}");
    assert!(factor("2 h") > as_planned * 1.1);
    assert!(factor("5 min") < as_planned);
}
