//! What tells parts apart that look alike: sizes looked for, look-alikes named and refused, numbers that read alike.

mod alike;
mod sets;
mod sizes;
mod stand_ins;
