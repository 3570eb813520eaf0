//! Works on rows while the next ones are being decoded.

use crate::photo::OpenError;
use crate::photo::stored::Rows;
use std::mem::replace;
use std::ops::Range;
use std::sync::mpsc::channel;

/// Fetches all rows, of `across` samples each, and does `work` for each of `parts`, which is given with the rows that it
/// needs: in order, without gaps, and overlapping where they share rows. `work` takes the part and those rows.
///
/// While this thread fetches, the others work, and it works too when they are all busy: so it never waits, and few rows
/// are held at a time.
///
/// # Errors
/// Those of the rows.
pub(super) fn relay<P: Send>(
    rows: &mut dyn Rows,
    across: usize,
    parts: Vec<(Range<usize>, P)>,
    work: impl Fn(P, &[u8]) + Sync,
) -> Result<(), OpenError> {
    let needed: Vec<Range<usize>> = parts.iter().map(|(needed, _)| needed.clone()).collect();
    let longest = across * needed.iter().map(ExactSizeIterator::len).max().unwrap_or(0);
    let (give_back, spare) = channel();
    (0..rayon::current_num_threads()).for_each(|_| drop(give_back.send(vec![0; longest])));
    let (work, give_back) = (&work, &give_back);
    rayon::in_place_scope(|scope| {
        let mut held = vec![0; longest];
        let mut there = 0;
        for (nth, (Range { start, end }, part)) in parts.into_iter().enumerate() {
            let length = across * (end - start);
            rows.next(&mut held[there..length])?;
            let next = needed.get(nth + 1).map_or(end, |next| next.start);
            let again = across * (next - start)..length;
            there = again.len();
            if let Ok(mut next) = spare.try_recv() {
                next[..there].copy_from_slice(&held[again]);
                let full = replace(&mut held, next);
                scope.spawn(move |_| {
                    work(part, &full[..length]);
                    // Once all rows are fetched, nobody wants it.
                    drop(give_back.send(full));
                });
            } else {
                work(part, &held[..length]);
                held.copy_within(again, 0);
            }
        }
        Ok(())
    })
}
