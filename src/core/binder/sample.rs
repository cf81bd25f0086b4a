//! A small plan built by hand, for the binder's tests.

use crate::base::date::Date;
use crate::base::quantity::{Measures, Number, Quantity};
use crate::base::source::{SourceId, Span};
use crate::base::unit::find;
use crate::plan::model::{
    About, Act, Bearer, Caution, Does, Fixing, FixingKind, Fixings, FreeName, Head, House, Id, Joint,
    JointKind, Load, Part, Person, Plan, Rating, Reading, Rig, Said, Signal, Stage, Step, StepLine, Supply,
    Thing, Thread, TimeFigure, TorqueFigure, Vehicle,
};

#[must_use]
pub fn at() -> Span {
    Span::new(SourceId(0), 0, 0)
}

#[must_use]
pub fn said<T>(value: T) -> Said<T> {
    Said::new(value, at())
}

#[must_use]
pub fn today() -> Date {
    Date::read("2026-11-25").expect("a day of the calendar")
}

#[must_use]
pub fn quantity<D: Measures>(number: &str, unit: &str) -> Quantity<D> {
    Quantity::new(
        Number::read(number).expect("a number"),
        find(unit).expect("a unit"),
    )
    .expect("of this kind")
}

#[must_use]
pub fn head(name: &str, title: &str) -> Head {
    Head {
        name: name.into(),
        at: at(),
        title: (!title.is_empty()).then(|| title.into()),
        block: at(),
        notes: Vec::new(),
        was: None,
        shared: false,
    }
}

#[must_use]
pub fn part(name: &str, title: &str) -> Part {
    Part {
        head: head(name, title),
        is_body: false,
        bare: false,
        mass: None,
        at: None,
        afterwards: None,
        in_place_of: None,
        rests_on: None,
        new: None,
        covers_nothing: None,
        stands_on: None,
        goes_to: None,
        cost: None,
        arrives: None,
        bought: None,
        sold_for: None,
        sold: None,
        required_by: None,
        count: None,
        holds: Vec::new(),
        cautions: Vec::new(),
        figures: Vec::new(),
    }
}

#[must_use]
pub fn joint(name: &str, a: Id<Part>, b: Id<Part>) -> Joint {
    Joint {
        ends: Some([said(Thing::Part(a)), said(Thing::Part(b))]),
        ..Joint::blank(head(name, ""), said(()).at)
    }
}

#[must_use]
pub fn bolts(count: u32, diameter: f64, pitch: f64) -> Fixing {
    Fixing {
        what: FixingKind::Bolts,
        count,
        thread: Thread::Metric {
            diameter,
            pitch: Some(pitch),
            length: None,
        },
        class: None,
        whereabouts: None,
        at: at(),
    }
}

#[must_use]
pub fn torque(number: &str) -> Box<Said<TorqueFigure>> {
    Box::new(said(TorqueFigure {
        torque: Reading::Is(quantity(number, "N m")),
        band: None,
        then: None,
        in_stages: Vec::new(),
    }))
}

#[must_use]
pub fn all_of(joint: Id<Joint>) -> Fixings {
    Fixings {
        joint: said(joint),
        count: None,
    }
}

#[must_use]
pub fn act(does: Does) -> StepLine {
    StepLine::Act(Act { at: at(), does })
}

#[must_use]
pub fn step(name: &str, title: &str, stage: Id<Stage>, lines: Vec<StepLine>) -> Step {
    Step {
        head: head(name, title),
        stage: Some(stage),
        by: Vec::new(),
        calls: None,
        stop_word: None,
        after: Vec::new(),
        instead_of: None,
        for_swaps: Vec::new(),
        derived: None,
        needs: Vec::new(),
        cautions: Vec::new(),
        time: Some(said(TimeFigure {
            likely: quantity("45", "min"),
            spread: Some((quantity("30", "min"), quantity("80", "min"))),
        })),
        safe_to_leave: None,
        safe_overnight: None,
        lines,
    }
}

/// An axle under a frame, held by two joints with threads, an earth strap and a plug; it comes off and back.
#[must_use]
pub fn plan() -> Plan {
    let mut plan = Plan::default();
    let frame = plan.parts.push(Part {
        is_body: true,
        ..part("frame", "")
    });
    let axle = plan.parts.push(part("axle", "Steel axle"));
    let vehicle = plan.vehicles.push(vehicle(frame));
    let mo = plan.people.push(person("mo"));
    let pip = plan.people.push(person("pip"));
    let table = plan.rigs.push(table());
    let under = plan
        .cautions
        .push(caution("under", "Vehicle can drop", Signal::Danger));
    let tip = plan
        .cautions
        .push(caution("tip", "Axle can tip", Signal::Warning));
    let pivots = plan.joints.push(Joint {
        fixings: vec![bolts(4, 10.0, 1.25)],
        torque: Some(torque("58")),
        second_check: Some(at()),
        hidden: Some(said("The rear one is behind the arch".into())),
        renew: Some(said(None)),
        ..joint("pivot-bolts", axle, frame)
    });
    let pads = plan.joints.push(Joint {
        fixings: vec![bolts(2, 8.0, 1.25)],
        torque: Some(torque("22")),
        fully_out: Some(said(Some("The pinch bolt sits in a groove".into()))),
        ..joint("pads", axle, frame)
    });
    let strap = plan.joints.push(Joint {
        kind: said(JointKind::Strap),
        ..joint("earth", axle, frame)
    });
    let plug = plan.joints.push(Joint {
        kind: said(JointKind::Plug),
        ..joint("lamp-plug", axle, frame)
    });
    let strip = plan
        .stages
        .push(stage("strip", "Strip the rear", vec![said(under)]));
    let back = plan.stages.push(stage("back", "Back together", Vec::new()));
    let axle_load = vec![said(Load::Thing(Thing::Part(axle)))];
    let free = Step {
        by: vec![said(mo)],
        ..step(
            "free",
            "Free the axle",
            strip,
            vec![
                act(Does::Measure {
                    what: FreeName {
                        name: "toe".into(),
                        at: at(),
                    },
                    value: None,
                }),
                act(Does::Mark(vec![said(pads)])),
                act(Does::Slacken(vec![all_of(pivots)])),
                StepLine::Note(crate::plan::model::Note {
                    text: "Look along it. **If it hangs, stop.**".into(),
                    at: at(),
                }),
                act(Does::Undo(vec![all_of(strap), all_of(plug), all_of(pads)])),
            ],
        )
    };
    let drop = Step {
        by: vec![said(mo), said(pip)],
        calls: Some(said(mo)),
        stop_word: Some(said("hold".into())),
        safe_to_leave: Some(at()),
        ..step(
            "drop",
            "Lower the axle",
            strip,
            vec![
                act(Does::Hold {
                    things: axle_load.clone(),
                    by: said(Bearer::Rig(table)),
                }),
                StepLine::Caution(said(tip)),
                act(Does::Undo(vec![all_of(pivots)])),
                act(Does::Lower {
                    things: axle_load.clone(),
                    by: None,
                }),
                act(Does::TakeOff(vec![said(Thing::Part(axle))])),
            ],
        )
    };
    let up = step(
        "up",
        "Axle up and bolted",
        back,
        vec![
            act(Does::Fit(vec![said(Thing::Part(axle))])),
            act(Does::Start(vec![all_of(pivots), all_of(pads)])),
            act(Does::Tighten(vec![all_of(pivots), all_of(pads)])),
        ],
    );
    let steps: Vec<Id<Step>> = [free, drop, up]
        .into_iter()
        .map(|step| plan.steps.push(step))
        .collect();
    for (&step, stage) in steps.iter().zip([strip, strip, back]) {
        plan.stages[stage].steps.push(step);
    }
    plan.order = steps;
    plan.stage_order = vec![strip, back];
    plan.about = Some(Box::new(about(vehicle, vec![said(mo), said(pip)])));
    plan
}

fn about(vehicle: Id<Vehicle>, crew: Vec<Said<Id<Person>>>) -> About {
    About {
        calendar: crate::plan::model::Calendar::default(),
        budget: None,
        rates: Vec::new(),
        head: head("wren-axle", "Wren 900: light axle"),
        vehicle: Some(said(vehicle)),
        target: None,
        class_minimum: None,
        class_with: crate::plan::model::ClassWith::default(),
        axle_split: None,
        crew,
        paper: None,
        sides: None,
        ink: None,
        units: None,
        spelling: None,
        language: None,
        dated: None,
        workshop: None,
        stages: None,
        procedure: None,
        house: House::default(),
        starts: Vec::new(),
        cautions: Vec::new(),
        figures: Vec::new(),
    }
}

fn vehicle(body: Id<Part>) -> Vehicle {
    Vehicle {
        head: head("wren", "Wren 900"),
        is_machine: false,
        body: Some(said(body)),
        mass: None,
        wheelbase: None,
        track: None,
        wheel_radius: None,
        centre_height: None,
        jacking: crate::plan::model::FrontRear::default(),
        borne_on: crate::plan::model::FrontRear::default(),
        figures: Vec::new(),
    }
}

fn person(name: &str) -> Person {
    Person {
        free: Vec::new(),
        head: head(name, ""),
        lifts: None,
        licensed_for: Vec::new(),
    }
}

fn table() -> Rig {
    Rig {
        head: head("table", "Lifting table"),
        is_floor: false,
        lifts: Some(at()),
        holds: Some(at()),
        rated: Some(said(Rating {
            mass: quantity("350", "kg"),
            each: false,
        })),
        takes: Vec::new(),
        platform: None,
        borne_by: None,
        count: None,
        mass: None,
        height: None,
        raises_to: None,
        legs: None,
        supply: Supply::default(),
        cautions: Vec::new(),
    }
}

fn caution(name: &str, title: &str, signal: Signal) -> Caution {
    Caution {
        head: head(name, title),
        signal: Some(said(signal)),
        harm: Some(said("Crushed".into())),
        avoid: vec![said("Stand clear".into())],
        in_short: None,
        against: Vec::new(),
        only: None,
    }
}

fn stage(name: &str, title: &str, cautions: Vec<Said<Id<Caution>>>) -> Stage {
    Stage {
        head: head(name, title),
        reverses: Vec::new(),
        cautions,
        time: None,
        steps: Vec::new(),
    }
}
