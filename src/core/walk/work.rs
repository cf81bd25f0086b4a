//! Work on parts, on the body and on joints that closes or parts nothing: what it does to the shop around it. Knows no act that moves
//! anything.

use super::breaks::{Broken, Subject};
use super::state::Opening;
use super::walker::Walker;
use crate::plan::model::{Fluid, Id, Joint, Said, Workpiece};
use crate::plan::vocabulary::acts::ActKind;

impl Walker<'_> {
    /// Cut, ground, welded, painted and so on. It changes nothing that is tied, held or full: what is parted by it is broken, and a plan says so.
    pub fn work(&mut self, by: ActKind, on: &[Said<Workpiece>]) {
        for piece in on {
            self.at = piece.at;
            if let Workpiece::Joint(joint) = piece.value {
                self.reach(joint);
                if by.joins() {
                    self.tell_of(Broken::DrawNotUndo, Subject::Joint(joint));
                }
            }
            self.settle();
        }
        self.around(by);
    }

    /// What its sparks and its dust find near it.
    pub fn around(&mut self, by: ActKind) {
        let Some(work) = by.work() else { return };
        if work.sparks {
            self.sparks();
        }
        if work.dust {
            self.dust();
        }
    }

    /// What burns is in the vehicle, or its line is open: emptied, it still gives off what catches fire. Told once of each fluid.
    fn sparks(&mut self) {
        for fluid in self.plan.fluids.ids() {
            let burns = self.layout.fluid_hazards[fluid]
                .iter()
                .any(|hazard| hazard.row().burns);
            if !burns {
                continue;
            }
            let open = self.open_line(fluid);
            let inside = &self.layout.inside[fluid];
            let aboard = inside.is_empty()
                || inside.iter().any(|&part| {
                    let heirs = &self.layout.parts[part].replaced_by;
                    !self.state.is_off(part) || heirs.iter().any(|&heir| !self.state.is_off(heir))
                });
            // Emptied, the tank is full of what explodes.
            let tank = aboard && (self.state.fluids[fluid].full || !inside.is_empty());
            if (!tank && open.is_none()) || !self.told_around.insert(Subject::Fluid(fluid)) {
                continue;
            }
            let mut told = self.broken(Broken::SparksByFuel).of(Subject::Fluid(fluid));
            told.with.extend(open.map(Subject::Joint));
            told.grave = open.is_some();
            self.tell(told);
        }
    }

    /// A line that stands open takes in dust and chips. Told once of each.
    fn dust(&mut self) {
        for fluid in self.plan.fluids.ids() {
            if let Some(joint) = self.open_line(fluid)
                && self.told_around.insert(Subject::Joint(joint))
            {
                self.tell_with(Broken::DustIntoLine, Subject::Joint(joint), Subject::Fluid(fluid));
            }
        }
    }

    /// A joint of this fluid's lines that stands open on the vehicle, neither capped nor done with.
    pub fn open_line(&self, fluid: Id<Fluid>) -> Option<Id<Joint>> {
        self.layout.lines[fluid].iter().copied().find(|&joint| {
            let open = self.state.joints[joint].opening == Opening::Open;
            open && !self.both_off(joint) && !self.layout.joints[joint].gone
        })
    }
}
