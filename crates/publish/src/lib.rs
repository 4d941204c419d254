//! What a maker publishes of a project: for now its pages for print.
//!
//! What this crate promises: no disk, no clock, no chance.

pub mod pages;
