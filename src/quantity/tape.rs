//! Lengths as a crew reads them off a tape: to the sixteenth of an inch, or to the millimetre.
//!
//! Invariants: `tape_up` never says less than the length and `tape_down` never more, but for the
//! house's slack. Absent here: exact texts (`print`), answer objects (`shown`).

use super::print::feet_and_inches;
use super::slack;
use super::{Length, System};

impl Length {
    /// This length on the tape, to the nearest mark: `15 ft 1 3/8 in`, or `4608 mm`.
    pub fn tape(self, system: System) -> String {
        self.on_tape(system, |marks| slack::round_to(marks, 0))
    }

    /// This length on the tape, rounded up to a mark: for what must be no shorter.
    pub fn tape_up(self, system: System) -> String {
        self.on_tape(system, slack::ceil)
    }

    /// This length on the tape, rounded down to a mark: for what must be no longer.
    pub fn tape_down(self, system: System) -> String {
        self.on_tape(system, slack::floor)
    }

    fn on_tape(self, system: System, round: impl Fn(f64) -> f64) -> String {
        let marks = round(match system {
            System::Us => self.inches() * 16.0,
            System::Metric => self.millimetres(),
        });
        let sign = if marks < 0.0 { "-" } else { "" };
        let size = marks.abs();
        match system {
            System::Us => format!("{sign}{}", feet_and_inches(size)),
            System::Metric => format!("{sign}{size} mm"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_is_taped_to_the_nearest_mark() {
        let length = Length::from_inches(181.37);
        assert_eq!(length.tape(System::Us), "15 ft 1 3/8 in");
        assert_eq!(length.tape(System::Metric), "4607 mm");
        assert_eq!(length.tape_up(System::Us), "15 ft 1 3/8 in");
        assert_eq!(length.tape_down(System::Us), "15 ft 1 5/16 in");
        assert_eq!((-length).tape_up(System::Us), "-15 ft 1 5/16 in");
        assert_eq!(Length::ZERO.tape(System::Us), "0 in");
        assert_eq!(Length::from_feet(15.0).tape_up(System::Us), "15 ft");
    }

    #[test]
    fn an_even_length_is_not_rounded_up_to_the_next_mark() {
        let noisy = Length::from_inches(0.1) * 3.0 + Length::from_inches(0.2);
        assert_eq!(noisy.tape_up(System::Us), "1/2 in");
        assert_eq!(noisy.tape_down(System::Us), "1/2 in");
    }
}
