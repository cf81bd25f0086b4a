//! All tests of the compiler: the language, the walk, the reckoning, the rules and the binder's document. No page engine is linked.

#![allow(clippy::indexing_slicing, reason = "a test may stop at a mistake of its own")]

mod acts_written;
mod as_it_is;
mod bad_input;
mod broken_fastening;
mod broken_plans;
mod broken_readings;
mod derived;
mod drafted;
mod editor;
mod entered;
mod fastening_rules;
mod fixed_parts;
mod front_end;
#[path = "../support/generate.rs"]
mod generate;
mod hands;
mod limits_found;
mod lines_found;
mod loads_found;
mod loads_naive;
#[allow(dead_code, reason = "the benchmarks use the rest")]
#[path = "../../benches/support/machines.rs"]
mod machines;
mod masses_page;
mod mends_applied;
mod mid_engine;
mod money;
mod other_words;
mod precedence;
mod rear_axle;
mod reckon_balance;
mod reckon_choosing;
mod reckon_fastening;
mod reckon_layouts;
mod reckon_lifting;
mod reckon_masses;
mod reckon_times;
mod reference;
mod roof_and_cage;
mod rough_start;
mod springs;
#[path = "../support/mod.rs"]
mod support;
mod tidied;
mod times_found;
mod timetable;
mod today;
mod totals_found;
mod units_nist;
mod walk_growth;
mod walk_large;
mod walk_micro;
mod walk_naive;
mod wheels_and_bolts;
mod worth;
