//! Plans of many steps on weekends: a third of them at the bench, places to stop after most, two helpers who come on some days, one tool for all.

/// A plan of so many steps.
pub fn plan(steps: usize) -> String {
    let mut text = "plan p \"Wren: weekends\"; for wren; crew mo, pip, kit; works 8 h from 9:00 on saturday, sunday; begins 2026-03-07\n\
                    vehicle wren \"Wren 900\"; body shell\nperson mo \"Mo\"\nperson pip \"Pip\"; free saturday\nperson kit \"Kit\"; free sunday\ntool mirror \"Mirror\"\n\
                    part hook \"Hook\"; new; mass 1 kg quoted\npart lid \"Lid\"; new; mass 1 kg quoted\npart cup \"Cup\"; new; mass 1 kg quoted\n"
        .to_owned();
    for nth in 0..steps {
        let who = ["mo", "mo, pip", "mo", "kit", "mo", "pip", "mo, kit"][nth % 7];
        let act = match nth % 3 {
            1 => format!("clean {}", ["hook", "lid", "cup"][nth % 9 / 3]),
            _ => "look \"x\"".to_owned(),
        };
        let stop = [
            "; safe to leave overnight",
            "; safe to leave",
            "; wait 12 h; safe to leave overnight",
            "; safe to leave",
        ][nth % 4];
        let mirror = if nth % 5 == 0 { "; needs mirror" } else { "" };
        let minutes = 20 + nth % 9 * 15;
        text.push_str(&format!(
            "step s{nth} \"S\"; by {who}; {act}{mirror}; time {minutes} min{stop}\n"
        ));
    }
    text
}
