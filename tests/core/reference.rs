//! The examples of the language reference, read one after the other, are one plan that compiles; and the reference
//! shows every statement that there is.

use crate::support::{compile_text, fences, told_of_text};
use boltfolio_core::syntax::shapes::{BLOCKS, SHAPES};

const REFERENCE: &str = include_str!("../../grammar/REFERENCE.md");

#[test]
fn its_examples_are_one_plan() {
    // The test gives no pictures, so the one figure is the only thing that can be missing.
    let compilation = compile_text(&fences(REFERENCE).concat());
    // A plan that has one of everything is no job that could be done: what the walk says of it is left out.
    let told = told_of_text(&compilation);
    assert_eq!(told.len(), 1, "{told:#?}");
    assert!(told[0].starts_with("missing-figure"), "{told:#?}");
    assert_eq!(compilation.accepted.len(), 1);
}

#[test]
fn it_shows_every_block_and_statement() {
    let plans = fences(REFERENCE).concat();
    for (_, word, _) in BLOCKS {
        let opens = plans.lines().any(|line| line.starts_with(&format!("{word} ")));
        assert!(
            opens
                || REFERENCE.contains(&format!("`{word}` and"))
                || REFERENCE.contains(&format!("and `{word}`")),
            "no example of a {word} block"
        );
    }
    for shape in SHAPES {
        let stands = plans.lines().flat_map(|line| line.split(';')).any(|statement| {
            statement
                .trim_start()
                .strip_prefix(shape.words)
                .is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
        });
        let told = REFERENCE.contains(&format!("`{}", shape.words));
        assert!(stands || told, "`{}` is nowhere on the page", shape.words);
    }
}
