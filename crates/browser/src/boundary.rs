//! How bytes cross between a page and this module: a plain C interface, so that
//! nothing but the compiler is needed to build it.
//!
//! The page asks for `room(length)`, writes its question there, calls `ask()`,
//! which gives the length of the answer, and reads it at `answer()`. Both
//! places are good until the next call. The module imports one thing, a clock:
//! `pinfold.now`, in milliseconds from any start.
#![allow(unsafe_code)] // The marks on what is exported and imported; no block of it.

use std::cell::RefCell;

use crate::ask::Desk;

#[link(wasm_import_module = "pinfold")]
unsafe extern "C" {
    safe fn now() -> f64;
}

#[derive(Default)]
struct Counter {
    question: Vec<u8>,
    answer: Vec<u8>,
    desk: Desk,
}

thread_local! {
    static COUNTER: RefCell<Counter> = RefCell::default();
}

/// Makes room for a question of `length` bytes and tells where.
#[unsafe(no_mangle)]
pub extern "C" fn room(length: usize) -> *mut u8 {
    COUNTER.with_borrow_mut(|counter| {
        counter.question.clear();
        counter.question.resize(length, 0);
        counter.question.as_mut_ptr()
    })
}

/// Answers the question; gives the answer's length in bytes.
#[unsafe(no_mangle)]
pub extern "C" fn ask() -> usize {
    COUNTER.with_borrow_mut(|counter| {
        let question = std::mem::take(&mut counter.question);
        counter.answer = counter.desk.ask(&question, &|| now());
        counter.answer.len()
    })
}

/// Where the last answer lies.
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> *const u8 {
    COUNTER.with_borrow(|counter| counter.answer.as_ptr())
}
