//! A plan that asks everything of a page at once: endless titles, a step of hundreds of acts, dozens of messages, long tables, long
//! notes, figures, fixings from 1 to 80. Invented, and no job that anybody could do.

use std::fmt::Write;

/// How much of each thing.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Joints undone in one step.
    pub joints: usize,
    /// Cautions on one step.
    pub cautions: usize,
    /// Covers with a joint and a step each, in one stage: rows of the torque table.
    pub rows: usize,
}

/// For one paper, with all that may stand in one step.
pub const MODERATE: Size = Size {
    joints: 400,
    cautions: 30,
    rows: 565,
};

/// For each paper and each way to print it.
pub const SMALL: Size = Size {
    joints: 40,
    cautions: 30,
    rows: 30,
};

/// The longest tables and the most cards.
pub const HEAVY: Size = Size {
    joints: 400,
    cautions: 30,
    rows: 3800,
};

/// The only picture that the plan asks for.
pub const PICTURE: &str = "side.svg";

/// Its file.
pub const DRAWING: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"160\" height=\"90\"><path d=\"M5 85 L80 5 L155 85 Z\" \
    fill=\"none\" stroke=\"black\" stroke-width=\"3\"/><circle cx=\"80\" cy=\"60\" r=\"18\"/></svg>";

/// 300 characters, with words of any length.
#[must_use]
pub fn title(of: &str) -> String {
    let mut text = of.to_owned();
    for word in [
        "over",
        "the",
        "crossmember",
        "and",
        "behind",
        "a",
        "bracket",
        "that",
        "nobody",
        "sees",
    ]
    .iter()
    .cycle()
    {
        if text.len() + word.len() >= 299 {
            break;
        }
        text.push(' ');
        text.push_str(word);
    }
    text
}

/// A word of 150 letters: nowhere a place to break.
#[must_use]
pub fn word(of: &str) -> String {
    format!("{of}{}", "Unterlagscheibenhalterung".repeat(6))
}

/// A note of every kind that CommonMark has, of more than a page.
const NOTE: &str = "  note
    # Look before the first bolt

    The beam *hangs* by two pads until the **fourth** bolt; a hose stays `loose` in its clip. See [the drawing](side.svg).

    1. Lamp under the beam.
       - left pad first, where the light falls in
       - then the right one, with the mirror
         1. rust between pad and beam
         2. paint that has come off in flakes
    2. Rod a quarter turn.

    > Who hurries here lifts twice.
    >
    > > And the third time it falls.

    | pad | gap | seen from |
    | --- | ---: | --- |
    | left, front | 1.5 mm | below, with the mirror held flat against the floor of the bay |
    | right, front | 2 mm | above |

    ```
    left   ----+----   right
               |
    ```

    ***
";

/// The plan's text. Everything in it is read and resolved; what the rules say of the job is another matter.
#[must_use]
pub fn plan(size: &Size) -> String {
    let mut out = String::new();
    let _infallible = head(size, &mut out);
    let _infallible = many(size, &mut out);
    let _infallible = patterns(&mut out);
    let _infallible = rows(size, &mut out);
    out.push_str(
        "weigh-in came-off \"What came off\"; dated 2026-03-14; with hook; sum given 12 kg\n  tare sling 1.2 kg\n  reads wall to come\n",
    );
    for n in 1..=40 {
        let _infallible = writeln!(out, "  reads cover-{n} to come");
    }
    out
}

fn head(size: &Size, out: &mut String) -> std::fmt::Result {
    writeln!(
        out,
        "plan stress \"{}\"\n  for crane\n  crew ada, bo, cy, di\n  target save 3 kg\n  dated 2026-03-07\n  stages one, many, rows, back",
        title("Everything at once")
    )?;
    out.push_str("  caution under\n");
    out.push_str(NOTE);
    writeln!(
        out,
        "vehicle crane \"{}\"; body frame; mass 4200 kg quoted; wheelbase 3850 mm; track 1840 mm front, 1910 mm rear",
        title("Crane 40")
    )?;
    writeln!(
        out,
        "person ada \"{}\"; lifts 25 kg\nperson cy \"Cy\"; lifts 25 kg\nperson di \"Di\"; lifts 25 kg\nperson bo \"{}\"; lifts 25 kg",
        word("Ada"),
        title("Bo")
    )?;
    writeln!(
        out,
        "rig table \"{}\"; lifts, holds; rated 350 kg; platform 900 mm x 600 mm; height 720 mm",
        title("Table")
    )?;
    writeln!(
        out,
        "tool mirror \"{}\"\nscale hook \"{}\"; capacity 100 kg; division 0.1 kg",
        word("Mirror"),
        title("Hook")
    )?;
    writeln!(
        out,
        "consumable grease \"{}\"; amount 50 g; cost 6 GBP",
        title("Grease")
    )?;
    for n in 0..size.cautions {
        let signal = ["danger", "warning", "caution", "notice"][n % 4];
        let (called, harm) = if n == 0 {
            (title("The wall falls"), title("Crushed"))
        } else {
            (
                format!("Finger trap {n} at the wall"),
                format!("Broken fingers, hand {n}."),
            )
        };
        writeln!(
            out,
            "caution trap-{n} \"{called}\"; signal {signal}; harm \"{harm}\"; avoid \"Hands off edge {n}.\", \"{}\"; against crush",
            if n == 1 {
                title("Table up")
            } else {
                "Table up first.".to_owned()
            }
        )?;
    }
    out.push_str(
        "caution under \"Crane can drop\"; signal danger; harm \"Crushed. Death or serious injury.\"; avoid \"Stands first.\"; against under-vehicle\n",
    );
    writeln!(
        out,
        "stage one \"{}\"\nstep lonely \"{}\"\n  by ada; needs mirror, grease; time 10 min (5 to 20)\n  look \"{}\"\n  look \"{}\"",
        title("A stage of one step"),
        word("Lonely"),
        title("Nothing hangs"),
        word("Nothing"),
    )?;
    out.push_str(NOTE);
    writeln!(
        out,
        "  figure \"{PICTURE}\" \"{}\" \"{}\"",
        title("Seen from the side"),
        title("A roof and a ball")
    )?;
    out.push_str("  look \"Behind the figure\"\n");
    Ok(())
}

/// One step of hundreds of acts, and one of dozens of messages.
fn many(size: &Size, out: &mut String) -> std::fmt::Result {
    writeln!(
        out,
        "part wall \"{}\"; mass 9 kg estimated; goes to \"{}\"",
        title("Wall"),
        title("shelf")
    )?;
    for n in 1..=size.joints {
        let extra = match n {
            1 => format!("; hidden \"{}\"", title("Behind the arch")),
            2 => format!("; fully out \"{}\"", title("It sits in a groove")),
            3 => format!("; renew \"{}\"", word("Ring")),
            4 => "; second check".to_owned(),
            _ => String::new(),
        };
        let called = match n {
            1 => format!(" \"{}\"", title("Wall bolts")),
            2 => format!(" \"{}\"", word("Wall")),
            _ => String::new(),
        };
        let place = ["front", "right", "rear", "left", "below", "inside"][n % 6];
        writeln!(
            out,
            "joint wall-{n}{called}: wall to frame; bolts {} x M8x1.25 class 8.8; head 13 mm; torque 22 N m; place {place}{extra}",
            1 + n % 3
        )?;
    }
    writeln!(
        out,
        "stage many \"{}\"\n  caution under",
        title("A step of many acts")
    )?;
    let cautions: Vec<String> = (0..size.cautions).map(|n| format!("trap-{n}")).collect();
    let joints: Vec<String> = (1..=size.joints).map(|n| format!("wall-{n}")).collect();
    writeln!(out, "step wall-free \"{}\"", title("Wall free"))?;
    writeln!(
        out,
        "  by ada, bo; calls ada, stop word \"{}\"; needs mirror; caution {}",
        word("Halt"),
        cautions.join(", ")
    )?;
    writeln!(out, "  time 4 h (2 h to 9 h)\n  hold wall with table")?;
    for chunk in joints.chunks(50) {
        writeln!(out, "  undo {}", chunk.join(", "))?;
    }
    out.push_str("step wall-away \"Wall away\"\n  by ada, bo; caution trap-0, trap-1; time 20 min\n  lower wall\n  take off wall\n  weigh wall with hook\n");
    Ok(())
}

/// Fixings from 1 to 80, in rows, in circles, two by so many.
fn patterns(out: &mut String) -> std::fmt::Result {
    for n in 1..=80usize {
        let pattern = match n % 4 {
            0 if n <= 40 => format!("pattern 2 x {}; order across; seen from \"below\"", n / 2),
            1 => "pattern row; order along".to_owned(),
            2 => "pattern circle; order across; seen from \"the left\"".to_owned(),
            _ => "pattern circle; order spiral".to_owned(),
        };
        if n <= 12 || n % 9 == 0 || n == 80 {
            writeln!(
                out,
                "part flange-{n} \"Flange of {n}\"; mass 1 kg quoted\njoint flange-bolts-{n}: flange-{n} to frame; carries; bolts {n} x M8x1.25 class 8.8; head 13 mm; torque 22 N m in stages 10 N m, 22 N m; second check; {pattern}"
            )?;
            writeln!(
                out,
                "step flange-off-{n} \"Flange of {n} off\"\n  by ada, bo; time 5 min; hold flange-{n} by bo; undo flange-bolts-{n}; take off flange-{n}"
            )?;
        }
    }
    Ok(())
}

/// A stage of hundreds of steps, and its way back.
fn rows(size: &Size, out: &mut String) -> std::fmt::Result {
    for n in 1..=size.rows {
        let called = match n % 50 {
            7 => title(&format!("Cover {n}")),
            8 => word(&format!("Cover{n}")),
            _ => format!("Cover {n}"),
        };
        writeln!(
            out,
            "part cover-{n} \"{called}\"; mass 2.{} kg quoted\njoint cover-bolts-{n}: cover-{n} to frame; carries; bolts 4 x M8x1.25 class 8.8; head 13 mm; torque 22 N m; pattern 2 x 2; order across",
            n % 10
        )?;
    }
    out.push_str("stage rows \"Rows and rows\"\n");
    for n in 1..=size.rows {
        writeln!(
            out,
            "step cover-off-{n} \"Cover {n} off\"; by cy, di; time 10 min (5 to 20)\n  hold cover-{n} by di; undo cover-bolts-{n}; take off cover-{n}"
        )?;
        if n % 40 == 3 {
            writeln!(
                out,
                "  figure \"{PICTURE}\" \"Cover {n} from the side\" \"A roof and a ball\"\n  caution trap-2, trap-3\n  look \"Nothing left on\""
            )?;
        }
        if n % 60 == 5 {
            out.push_str(NOTE);
        }
    }
    out.push_str("stage back \"Back together\" reverses rows, many\n");
    Ok(())
}
