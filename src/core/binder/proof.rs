//! Keys of what must be found on paper. One place makes them, so that no two are alike. Knows no page.

use super::document::Proof;

#[must_use]
pub fn act(step: &str, row: usize) -> Proof {
    format!("act/{step}/{row}")
}

/// Of an act that is done in the row of the act before it.
#[must_use]
pub fn second_act(step: &str, row: usize) -> Proof {
    format!("act/{step}/{row}/second")
}

#[must_use]
pub fn tick(step: &str, row: usize) -> Proof {
    format!("tick/{step}/{row}")
}

#[must_use]
pub fn fixing(step: &str, row: usize, nth: u32) -> Proof {
    format!("fixing/{step}/{row}/{nth}")
}

#[must_use]
pub fn message(step: &str, nth: usize) -> Proof {
    format!("message/{step}/{nth}")
}

#[must_use]
pub fn stage_message(stage: &str, nth: usize) -> Proof {
    format!("stage-message/{stage}/{nth}")
}

#[must_use]
pub fn picture(step: &str, nth: usize) -> Proof {
    format!("picture/{step}/{nth}")
}

#[must_use]
pub fn second_check(step: &str) -> Proof {
    format!("second-check/{step}")
}

#[must_use]
pub fn before(step: &str) -> Proof {
    format!("before/{step}")
}

#[must_use]
pub fn before_map(step: &str) -> Proof {
    format!("before-map/{step}")
}

#[must_use]
pub fn before_row(step: &str, nth: usize) -> Proof {
    format!("before-row/{step}/{nth}")
}

#[must_use]
pub fn torque(step: &str, nth: usize) -> Proof {
    format!("torque/{step}/{nth}")
}

#[must_use]
pub fn torque_fixing(step: &str, nth: usize, fixing: u32) -> Proof {
    format!("torque-fixing/{step}/{nth}/{fixing}")
}
