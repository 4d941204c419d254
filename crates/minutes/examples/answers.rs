//! Answers for the judge in `outside/minutes.py`: reads numbers, writes JSON.
//!
//! `answers censored`: a line each time, `time finished(0/1) column …`.
//! `answers order`: a line each question, `share k n`.
//! `answers fit` and `answers race ENTRANTS WITHIN`: a line of efforts, a line with
//! the number of testers, then a line each try, `tester outline minutes finished`.

use std::io::{self, Read};

use minutes::{Estimate, FitAsk, Plays, RaceAsk, Try, censored, fit, forecast, kth_of};

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let mut text = String::new();
    io::stdin().read_to_string(&mut text).expect("standard input is text");
    let rows: Vec<Vec<f64>> =
        text.lines().map(|l| l.split_whitespace().map(|n| n.parse().expect("a number")).collect()).collect();
    match args.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["censored"] => of_censored(&rows),
        ["order"] => {
            let all: Vec<f64> = rows.iter().map(|r| kth_of(r[0], r[1] as u64, r[2] as u64)).collect();
            println!("{{\"order\": {}}}", list(&all));
        }
        ["fit"] => of_fit(&plays(&rows)),
        ["race", entrants, within] => {
            let fitted = fit(&plays(&rows), &FitAsk::default()).expect("sound plays");
            let ask = RaceAsk {
                outlines: (0..rows[0].len()).collect(),
                entrants: entrants.parse().expect("a number"),
                within: within.parse().expect("a number"),
                slower: 1.0,
                seed: 1,
            };
            let told = forecast(&fitted, &ask).expect("a sound race");
            println!(
                "{{\"first\": {}, \"tenth\": {}, \"one\": {}, \"finishers\": {:?}}}",
                three(told.first),
                told.tenth.map_or("null".to_owned(), three),
                three(told.one),
                told.finishers,
            );
        }
        _ => panic!("say censored, order, fit, or race ENTRANTS WITHIN"),
    }
}

fn list(all: &[f64]) -> String {
    format!("[{}]", all.iter().map(|x| format!("{x:e}")).collect::<Vec<_>>().join(", "))
}

fn three(e: Estimate) -> String {
    list(&[e.low, e.median, e.high])
}

fn of_censored(rows: &[Vec<f64>]) {
    let columns: Vec<Vec<f64>> = rows.iter().map(|r| r[2..].to_vec()).collect();
    let times: Vec<(f64, bool)> = rows.iter().map(|r| (r[0], r[1] == 1.0)).collect();
    let found = censored(&columns, &times).expect("there is a top");
    println!(
        "{{\"coefficients\": {}, \"errors\": {}, \"sigma\": {:e}, \"sigma_error\": {:e}, \"ln_likelihood\": {:e}}}",
        list(&found.coefficients),
        list(&found.errors),
        found.sigma,
        found.sigma_error,
        found.ln_likelihood,
    );
}

fn plays(rows: &[Vec<f64>]) -> Plays {
    let tries = rows[2..].iter().map(|r| Try {
        tester: r[0] as usize,
        outline: r[1] as usize,
        minutes: r[2],
        finished: r[3] == 1.0,
    });
    Plays {
        efforts: rows[0].iter().copied().map(Some).collect(),
        testers: rows[1][0] as usize,
        tries: tries.collect(),
    }
}

fn of_fit(plays: &Plays) {
    let found = fit(plays, &FitAsk { draws: 4000, ..FitAsk::default() }).expect("sound plays");
    let spreads = found.spreads();
    let all = |of: &dyn Fn(usize) -> Estimate, count: usize| {
        format!("[{}]", (0..count).map(|i| three(of(i).map(f64::ln))).collect::<Vec<_>>().join(", "))
    };
    println!(
        "{{\"slope\": {}, \"outlines_sd\": {}, \"testers_sd\": {}, \"noise_sd\": {}, \"outlines\": {}, \"testers\": {}}}",
        three(found.slope()),
        three(spreads.outlines),
        three(spreads.testers),
        three(spreads.noise),
        all(&|o| found.minutes(o).typical, plays.efforts.len()),
        all(&|t| found.pace(t), plays.testers),
    );
}
