//! The same work on many things, on threads where there are any; the answers are the same.

/// `work` on each of `things`, in their order.
#[cfg(feature = "parallel")]
pub(super) fn each<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync + Send) -> Vec<R> {
    use rayon::prelude::*;
    things.par_iter().map(work).collect()
}

/// `work` on each of `things`, in their order.
#[cfg(not(feature = "parallel"))]
pub(super) fn each<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync + Send) -> Vec<R> {
    things.iter().map(work).collect()
}
