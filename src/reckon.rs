//! Floor 3: formulas of the trade as pure functions on quantities: mass and its uncertainty, balance, lifting, handling, fastening.
//! Each names its source, its range and its units. Knows neither plans' text nor wording.
