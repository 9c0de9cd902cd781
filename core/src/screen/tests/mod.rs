//! Tests of screens: whole jobs by nothing but what they offer and ask.

mod acts;
mod kept;
mod page;
mod play;
mod random;
mod said;
mod tone;
mod whole;
mod word;
