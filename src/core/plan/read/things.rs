//! Part, assembly, vehicle, fluid, energy and caution blocks.

use super::super::declare;
use super::super::model::{
    Afterwards, Assembly, Caution, CentreHeight, End, Energy, EnergyKind, Fluid, FrontRear, Going, Hazard,
    Head, InPlaceOf, Part, Said, Signal, StandsOn, Vehicle,
};
use super::amounts::{choice, count, front_rear, mass_figure, money, paid, quantity, text};
use super::block::{Read, Reader, expected};
use super::names::{Want, caution, fluid, joint, part, step, thing};
use crate::syntax::cursor::Cursor;
use crate::syntax::shapes::{BlockKind, Keyword as K, Shape};

const AFTERWARDS: &[(Afterwards, &str)] = &[
    (Afterwards::GoesBack, "goes back"),
    (Afterwards::ForSale, "for sale"),
    (Afterwards::Scrapped, "scrapped"),
    (Afterwards::Stored, "stored"),
    (Afterwards::StaysOff, "stays off"),
];

const ENDS: [(End, &str); 2] = [(End::Front, "front"), (End::Rear, "rear")];

fn bare_part(head: Head, bare: bool, is_body: bool) -> Part {
    Part {
        head,
        is_body,
        bare,
        mass: None,
        at: None,
        afterwards: None,
        in_place_of: None,
        stands_on: None,
        rests_on: None,
        new: None,
        covers_nothing: None,
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

impl<'a> Reader<'a> {
    /// Reads a part block for this reader's side.
    pub fn part(&mut self) -> Part {
        let mut part = bare_part(self.head(), false, false);
        self.statements(&mut |reader, shape, cursor| reader.part_statement(&mut part, shape, cursor));
        part.head.notes = self.take_notes();
        part
    }

    /// The parts of a `parts` line.
    pub fn bare_parts(&mut self) -> Vec<Part> {
        let Some(mut cursor) = self.block.header() else {
            return Vec::new();
        };
        let mut parts = Vec::new();
        while let Some((name, at)) = cursor.name() {
            let head = Head {
                name: name.into(),
                at,
                title: None,
                ..self.head()
            };
            parts.push(bare_part(head, true, false));
            if !cursor.comma() {
                break;
            }
        }
        for statement in self.block.body() {
            let cursor = self.block.cursor(statement);
            let at = cursor.statement();
            self.slip(super::super::plan_error::PlanError::Unreadable {
                at,
                expected: "nothing below `parts`: a part with statements has a block of its own".to_owned(),
                form: BlockKind::Part.form().to_owned(),
            });
        }
        parts
    }

    /// The body that a vehicle block declares.
    pub fn body_part(&mut self) -> Option<Part> {
        let (name, at) = declare::body_of(self.block)?;
        let head = Head {
            name: name.into(),
            at,
            title: None,
            ..self.head()
        };
        Some(bare_part(head, false, true))
    }

    fn part_statement(
        &mut self,
        part: &mut Part,
        shape: &'static Shape,
        cursor: &mut Cursor<'a>,
    ) -> Read<()> {
        let form = shape.form;
        match shape.keyword {
            K::Mass => part.mass = Some(mass_figure(cursor)?),
            K::At => part.at = Some(self.place(cursor)?),
            K::Afterwards => part.afterwards = Some(choice(cursor, AFTERWARDS, form)?),
            K::InPlaceOf => {
                let old = self.one_of(cursor, Want::Part, super::names::part)?;
                let mut probe = cursor.clone();
                let if_renewed = probe.comma() && probe.eat("if renewed").is_some();
                if if_renewed {
                    *cursor = probe;
                }
                part.in_place_of = old.map(|old| {
                    Said::new(
                        InPlaceOf {
                            part: old.value,
                            if_renewed,
                        },
                        old.at,
                    )
                });
            }
            K::StandsOn => {
                let need = count(cursor, form)?;
                cursor
                    .eat("of")
                    .ok_or_else(|| expected(cursor, "`of` and the joints", form))?;
                let of = self.list_of(cursor, Want::Joint, joint)?;
                part.stands_on = Some(Said::new(StandsOn { need: need.value, of }, cursor.statement()));
            }
            K::FixedTo => self.part_is_fixed(cursor, form)?,
            K::RestsOn => part.rests_on = self.one_of(cursor, Want::Part, super::names::part)?,
            K::New => part.new = Some(cursor.statement()),
            K::CoversNothing => part.covers_nothing = Some(cursor.statement()),
            K::GoesTo => part.goes_to = Some(text(cursor, "where it goes, in quotes", form)?),
            K::Cost => part.cost = Some(money(cursor, form)?),
            K::Arrives => part.arrives = Some(super::weighings::date(cursor, form)?),
            K::Bought => part.bought = Some(paid(cursor, form)?),
            K::SoldOn => part.sold = Some(paid(cursor, form)?),
            K::SoldFor => part.sold_for = Some(money(cursor, form)?),
            K::RequiredBy => part.required_by = Some(text(cursor, "the rule, in quotes", form)?),
            K::Count => part.count = Some(count(cursor, form)?),
            K::HoldsFluid => part.holds.extend(self.list_of(cursor, Want::Fluid, fluid)?),
            K::CautionHere => part
                .cautions
                .extend(self.list_of(cursor, Want::Caution, caution)?),
            K::Figure => part.figures.push(self.figure(cursor)?),
            _ => return Err(expected(cursor, "a statement of a part block", form)),
        }
        Ok(())
    }

    pub fn assembly(&mut self) -> Assembly {
        let mut assembly = Assembly {
            head: self.head(),
            of: Vec::new(),
            parts: Vec::new(),
            mass: None,
            at: None,
            afterwards: None,
            goes_to: None,
            cautions: Vec::new(),
            figures: Vec::new(),
        };
        self.statements(&mut |reader, shape, cursor| {
            let form = shape.form;
            match shape.keyword {
                K::Of => assembly.of = reader.list_of(cursor, Want::Thing, thing)?,
                K::Mass => assembly.mass = Some(mass_figure(cursor)?),
                K::At => assembly.at = Some(reader.place(cursor)?),
                K::Afterwards => assembly.afterwards = Some(choice(cursor, AFTERWARDS, form)?),
                K::GoesTo => assembly.goes_to = Some(text(cursor, "where it goes, in quotes", form)?),
                K::CautionHere => assembly
                    .cautions
                    .extend(reader.list_of(cursor, Want::Caution, caution)?),
                K::Figure => assembly.figures.push(reader.figure(cursor)?),
                _ => return Err(expected(cursor, "a statement of an assembly block", form)),
            }
            Ok(())
        });
        assembly.head.notes = self.take_notes();
        assembly
    }

    pub fn vehicle(&mut self) -> Vehicle {
        let mut vehicle = Vehicle {
            head: self.head(),
            is_machine: self.block.kind == BlockKind::Machine,
            body: None,
            mass: None,
            wheelbase: None,
            track: None,
            wheel_radius: None,
            centre_height: None,
            jacking: FrontRear::default(),
            borne_on: FrontRear::default(),
            figures: Vec::new(),
        };
        self.statements(&mut |reader, shape, cursor| reader.vehicle_statement(&mut vehicle, shape, cursor));
        vehicle.head.notes = self.take_notes();
        vehicle
    }

    fn vehicle_statement(
        &mut self,
        vehicle: &mut Vehicle,
        shape: &'static Shape,
        cursor: &mut Cursor<'a>,
    ) -> Read<()> {
        let form = shape.form;
        match shape.keyword {
            K::Body => vehicle.body = self.one_of(cursor, Want::Part, part)?,
            K::Mass => vehicle.mass = Some(mass_figure(cursor)?),
            K::Wheelbase => vehicle.wheelbase = Some(quantity(cursor, form)?),
            K::Track => vehicle.track = Some(front_rear(cursor, form)?),
            K::WheelRadius => vehicle.wheel_radius = Some(front_rear(cursor, form)?),
            K::HeightOfCentre => {
                let height = quantity(cursor, form)?;
                let assumed = cursor.eat("assumed").is_some();
                vehicle.centre_height = Some(Said::new(
                    CentreHeight {
                        height: height.value,
                        assumed,
                    },
                    height.at,
                ));
            }
            K::Jacking => {
                let end = choice(cursor, &ENDS, form)?;
                cursor
                    .eat("at")
                    .ok_or_else(|| expected(cursor, "`at` and the place", form))?;
                let place = self.place(cursor)?;
                *end_of(&mut vehicle.jacking, end.value) = Some(place);
            }
            K::Wheels | K::Feet => {
                let end = choice(cursor, &ENDS, form)?;
                cursor
                    .eat("on")
                    .ok_or_else(|| expected(cursor, "`on` and what bears them", form))?;
                *end_of(&mut vehicle.borne_on, end.value) = self.one_of(cursor, Want::Thing, thing)?;
            }
            K::Figure => vehicle.figures.push(self.figure(cursor)?),
            _ => return Err(expected(cursor, "a statement of a vehicle block", form)),
        }
        Ok(())
    }

    pub fn fluid(&mut self) -> Fluid {
        let mut fluid = Fluid {
            head: self.head(),
            holds: None,
            density: None,
            in_parts: Vec::new(),
            needs_bleeding: None,
            renew: None,
            gone: None,
            grade: None,
            against: Vec::new(),
        };
        self.statements(&mut |reader, shape, cursor| {
            let form = shape.form;
            match shape.keyword {
                K::HoldsVolume => fluid.holds = Some(quantity(cursor, form)?),
                K::DensityOf => fluid.density = Some(quantity(cursor, form)?),
                K::InParts => fluid.in_parts = reader.list_of(cursor, Want::Part, part)?,
                K::NeedsBleeding => fluid.needs_bleeding = Some(cursor.statement()),
                K::Renew => fluid.renew = Some(cursor.statement()),
                K::Gone => {
                    fluid.gone = Some(Said::new(
                        super::amounts::optional_text(cursor),
                        cursor.statement(),
                    ))
                }
                K::Grade => fluid.grade = Some(text(cursor, "the grade, in quotes", form)?),
                K::Against => fluid.against = hazards(cursor, form)?,
                _ => return Err(expected(cursor, "a statement of a fluid block", form)),
            }
            Ok(())
        });
        fluid.head.notes = self.take_notes();
        fluid
    }

    pub fn energy(&mut self) -> Energy {
        let mut energy = Energy {
            head: self.head(),
            kind: None,
            safe_after: None,
            in_parts: Vec::new(),
            against: Vec::new(),
            held_in_by: Vec::new(),
            force: None,
            free_at: None,
        };
        self.statements(&mut |reader, shape, cursor| {
            let form = shape.form;
            let here = cursor.statement();
            match shape.keyword {
                K::Electric => energy.kind = Some(Said::new(EnergyKind::Electric, here)),
                K::PressureKind => energy.kind = Some(Said::new(EnergyKind::Pressure, here)),
                K::SpringKind => energy.kind = Some(Said::new(EnergyKind::Spring, here)),
                K::HeatKind => energy.kind = Some(Said::new(EnergyKind::Heat, here)),
                K::GravityKind => energy.kind = Some(Said::new(EnergyKind::Gravity, here)),
                K::PyrotechnicKind => energy.kind = Some(Said::new(EnergyKind::Pyrotechnic, here)),
                K::HeldInBy => energy.held_in_by = reader.list_of(cursor, Want::Joint, joint)?,
                K::ForceOf => energy.force = Some(quantity(cursor, form)?),
                K::FreeAt => energy.free_at = Some(quantity(cursor, form)?),
                K::SafeAfter => energy.safe_after = reader.one_of(cursor, Want::Step, step)?,
                K::InParts => energy.in_parts = reader.list_of(cursor, Want::Part, part)?,
                K::Against => energy.against = hazards(cursor, form)?,
                _ => return Err(expected(cursor, "a statement of an energy block", form)),
            }
            Ok(())
        });
        energy.head.notes = self.take_notes();
        energy
    }

    pub fn caution(&mut self) -> Caution {
        let mut caution = Caution {
            head: self.head(),
            signal: None,
            harm: None,
            avoid: Vec::new(),
            in_short: None,
            against: Vec::new(),
            only: None,
        };
        self.statements(&mut |_, shape, cursor| {
            let form = shape.form;
            match shape.keyword {
                K::OnlyOnTheWay => {
                    caution.only = Some(choice(
                        cursor,
                        &[(Going::Out, "out"), (Going::Back, "back")],
                        form,
                    )?);
                }
                K::SignalWord => {
                    let all = [
                        (Signal::Danger, "danger"),
                        (Signal::Warning, "warning"),
                        (Signal::Caution, "caution"),
                        (Signal::Notice, "notice"),
                    ];
                    caution.signal = Some(choice(cursor, &all, form)?);
                }
                K::Harm => caution.harm = Some(text(cursor, "what it does to you, in quotes", form)?),
                K::Avoid => loop {
                    caution.avoid.push(text(cursor, "what to do, in quotes", form)?);
                    if !cursor.comma() {
                        break;
                    }
                },
                K::InShort => {
                    caution.in_short = Some(text(cursor, "what to do in a few words, in quotes", form)?);
                }
                K::Against => caution.against = hazards(cursor, form)?,
                _ => return Err(expected(cursor, "a statement of a caution block", form)),
            }
            Ok(())
        });
        caution.head.notes = self.take_notes();
        caution
    }
}

/// Names of hazards with commas between them.
pub fn hazards(cursor: &mut Cursor<'_>, form: &str) -> Read<Vec<Said<Hazard>>> {
    let mut all = Vec::new();
    loop {
        all.push(choice(cursor, Hazard::ALL, form)?);
        if !cursor.comma() {
            return Ok(all);
        }
    }
}

fn end_of<T>(pair: &mut FrontRear<T>, end: End) -> &mut T {
    match end {
        End::Front => &mut pair.front,
        End::Rear => &mut pair.rear,
    }
}
