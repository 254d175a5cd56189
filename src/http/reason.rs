//! A refusal in one short line, for a place that holds a line and no more.
//!
//! Invariants: one line of bounded length; the first fault goes first, with its column, what was
//! found and what to write instead. Absent: where it is shown.

use super::problem::Problem;

/// Most characters of a reason.
const LONGEST: usize = 240;

/// A refusal in one line.
#[derive(Clone, Debug)]
pub(super) struct Reason {
    /// The last part of the problem's type, like `faults`.
    pub(super) code: &'static str,
    /// The line.
    pub(super) text: String,
}

impl Reason {
    /// What a problem comes down to.
    pub(super) fn of(problem: &Problem) -> Self {
        let code = problem.kind.rsplit('/').next().unwrap_or_default();
        let text = match problem.errors.split_first() {
            None => problem.detail.clone(),
            Some((first, [])) => first.sentence(),
            Some((first, more)) => format!("{} (and {} more)", first.sentence(), more.len()),
        };
        Self {
            code,
            text: shorten(&text),
        }
    }
}

fn shorten(text: &str) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= LONGEST {
        return line;
    }
    let kept: String = line.chars().take(LONGEST - 3).collect();
    kept.trim_end().to_owned() + "..."
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::http::problem::ApiError;
    use crate::quantity::Fault;
    use crate::quantity::Faults;

    fn reason(error: ApiError) -> Reason {
        Reason::of(&error.problem())
    }

    #[test]
    fn the_first_fault_goes_first_and_the_others_are_counted() {
        let fault = |column: &str| Fault::new("", "x", "a number", Some("28")).in_column(column);
        let told = reason(Faults(vec![fault("rise_in"), fault("length_ft")]).into());
        assert_eq!(told.code, "faults");
        assert_eq!(
            told.text,
            "rise_in: found x; write a number, like 28 (and 1 more)"
        );
    }

    #[test]
    fn a_reason_is_one_short_line() {
        let long = format!("a\nb {}", "word ".repeat(100));
        let told = reason(ApiError::NotFound(long));
        assert!(told.text.starts_with("a b word") && told.text.ends_with("..."));
        assert!(told.text.chars().count() <= LONGEST);
    }
}
