use std::time::{Duration, Instant};

use crate::command::Failure;

/// One thing to do, with a name to call it by.
pub(crate) struct Step {
    pub(crate) name: &'static str,
    /// What it does, and what for.
    pub(crate) what: &'static str,
    pub(crate) act: fn() -> Result<(), Failure>,
}

/// Does the steps in order, saying what each is and how long it took, and stops at the first that fails.
/// A table of the times comes at the end, also after a failure.
pub(crate) fn go(steps: &[&Step]) -> Result<(), Failure> {
    let start = Instant::now();
    let mut table = Vec::new();
    let mut outcome = Ok(());
    for step in steps {
        println!("\n▸ {}: {}", step.name, step.what);
        let begun = Instant::now();
        outcome = (step.act)();
        let word = if outcome.is_ok() { "done" } else { "FAILED" };
        println!("  {} {word} in {}", step.name, spoken(begun.elapsed()));
        table.push(format!("  {:<14}{:>12}  {word}", step.name, spoken(begun.elapsed())));
        if outcome.is_err() {
            break;
        }
    }
    println!("\n{}", table.join("\n"));
    println!("  {:<14}{:>12}", "in all", spoken(start.elapsed()));
    outcome
}

/// A span of time as a person says it.
fn spoken(time: Duration) -> String {
    let seconds = time.as_secs_f64();
    if seconds < 59.95 {
        return format!("{seconds:.1} s");
    }
    let whole = seconds.round() as u64;
    format!("{} min {:02} s", whole / 60, whole % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_spoken_in_seconds_then_in_minutes() {
        for (milliseconds, words) in
            [(40, "0.0 s"), (59_940, "59.9 s"), (59_960, "1 min 00 s"), (754_400, "12 min 34 s")]
        {
            assert_eq!(spoken(Duration::from_millis(milliseconds)), words);
        }
    }

    #[test]
    fn nothing_runs_after_a_failure() {
        let fails = Step { name: "fails", what: "to fail", act: || Err(Failure::new("It did.", "")) };
        let never = Step { name: "never", what: "never reached", act: || panic!("reached") };
        assert_eq!(go(&[&fails, &never]).expect_err("a failure").to_string(), "It did.");
    }
}
