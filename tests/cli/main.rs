//! What a survey may say, what it may not, and what is said when it does.

mod faults;
mod folder;
mod reading;
mod robust;
