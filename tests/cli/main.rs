//! What a survey may say, what it may not, and what is said when it does.

#[cfg(all(feature = "cli", feature = "pdf"))]
mod csv;
#[cfg(all(feature = "cli", feature = "pdf"))]
mod explain;
mod faults;
mod folder;
#[cfg(all(feature = "cli", feature = "pdf", feature = "sheet"))]
mod new;
mod odd;
#[cfg(all(feature = "cli", feature = "pdf"))]
mod packet;
#[cfg(all(feature = "cli", feature = "pdf"))]
mod program;
mod reading;
#[cfg(all(feature = "cli", feature = "pdf"))]
mod readme;
mod received;
mod robust;
mod sheets;
#[cfg(all(feature = "cli", feature = "pdf"))]
mod strings;
