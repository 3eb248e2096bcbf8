//! One piece of work a note, on as many threads as there are.

/// Every item worked out, the answers in the order of the items whatever the number of threads.
pub(super) fn each<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    #[cfg(feature = "parallel")]
    {
        use rayon::prelude::*;
        items.par_iter().map(&work).collect()
    }
    #[cfg(not(feature = "parallel"))]
    {
        items.iter().map(work).collect()
    }
}
