//! What a survey may say, what it may not, and what is said when it does.

mod folder;
mod reading;
