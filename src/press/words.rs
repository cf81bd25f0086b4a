//! The few words that the press itself sets: heads of fields and parts that the neutral document leaves to it.
//! Paper and Markdown take them from here. Must not know any plan, nor how a page is laid out.

macro_rules! words {
    ($($name:ident = $text:literal,)*) => {
        $(pub const $name: &str = $text;)*
        /// All of them by name, as the template asks for them in small letters.
        pub const ALL: &[(&str, &str)] = &[$((stringify!($name), $name)),*];
    };
}

words! {
    PAGE = "page ",
    OF = " of ",
    AFTER_PAGE = "Previous ",
    BEFORE_PAGE = "Next ",
    CONTINUED = ", continued",
    TOOK = "Time taken",
    MINUTES = "min",
    DONE_ON = "Date",
    AT_HAND = "You need",
    FIRST = "Before this",
    WHERE = "Where",
    SECOND_CHECK = "Second check",
    AFTER = "Left like this",
    SIGNED = "Checked by",
    DATE = "Date",
    NAME = "Name",
    WHEN = "When",
    HELD_BY = "Held by",
    WHO = "Who",
    ONE_READS = "One reads; one looks and answers.",
    NOT_IN_PLAN = "Found another?",
    ALL_LOOKED_AT = "All checked. Clear to move.",
    READS = "Reader",
    LOOKS = "Checker",
    NUMBER = "No.",
    WHAT = "What",
    BETWEEN = "Between",
    SCALE_READS = "Scale reads",
    OF_IT = "Less tray or sling (tare)",
    FORWARD_UP = "Forward is up.",
    FRONT_LEFT = "front left",
    FRONT_RIGHT = "front right",
    REAR_LEFT = "rear left",
    REAR_RIGHT = "rear right",
}
pub const TRUE_SIZE: &str = "bolts and nuts at true size: print at 100 %, lay them on it";
pub const GOES_BACK: &str = "Goes back on";
pub const STAYS_OFF: &str = "Stays off";
pub const FIFTY: &str = "50 mm: lay a rule on it";
