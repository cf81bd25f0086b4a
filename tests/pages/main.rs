//! Tests of what is printed: pages, Markdown and data, and of what is told on a terminal.

#![allow(clippy::indexing_slicing, reason = "a test may stop at a mistake of its own")]

mod as_weighed;
mod binder_tells;
mod body_work;
mod calendar_file;
mod cautions_both_ways;
mod data_form;
mod day_two;
mod drawn_pages;
#[path = "../support/generate.rs"]
mod generate;
mod prints_what_lints;
mod rule_pages;
mod shop_page;
mod stress;
#[path = "../support/stress.rs"]
mod stress_plan;
#[path = "../support/mod.rs"]
mod support;
