//! The runner under load: order, limits, stopping, panics, forgetting.

#![allow(clippy::unwrap_used, clippy::panic)] // tests

use job::{JobId, Jobs, NotStarted, State, Stop};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

type Runner = Jobs<&'static str, String>;

fn ended(jobs: &Runner, id: u128) -> State<String> {
    let until = Instant::now() + Duration::from_secs(20);
    while Instant::now() < until {
        let state = jobs.get(JobId(id)).unwrap().state;
        if state.has_ended() {
            return state;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
    panic!("job {id} did not end");
}

/// A job that says it began and runs until it is let go or stopped.
fn held(jobs: &Runner, id: u128) -> (Sender<()>, Receiver<()>) {
    let (go, wait) = channel::<()>();
    let (began, begun) = channel();
    jobs.start(JobId(id), "held", move |progress| {
        began.send(()).unwrap();
        loop {
            progress.check()?;
            match wait.recv_timeout(Duration::from_millis(2)) {
                Ok(()) => return Ok("let go".to_owned()),
                Err(_) => continue,
            }
        }
    })
    .unwrap();
    (go, begun)
}

#[test]
fn jobs_run_in_order_and_say_how_it_ended() {
    let jobs = Runner::with_workers(1);
    let order = Arc::new(Mutex::new(Vec::new()));
    for id in 0..5u128 {
        let order = Arc::clone(&order);
        jobs.start(JobId(id), "count", move |progress| {
            progress.doing("counting");
            progress.at(1, 1)?;
            order.lock().unwrap().push(id);
            if id == 3 {
                return Err(Stop::failed("no room".to_owned()));
            }
            Ok(format!("number {id}"))
        })
        .unwrap();
    }
    assert_eq!(ended(&jobs, 4), State::Done("number 4".to_owned()));
    assert_eq!(ended(&jobs, 3), State::Failed("no room".to_owned()));
    assert_eq!(*order.lock().unwrap(), [0, 1, 2, 3, 4]);
    let job = jobs.get(JobId(4)).unwrap();
    assert_eq!(
        (job.seen.permille, job.seen.doing.as_str()),
        (1000, "counting")
    );
    assert!(job.ended.unwrap() >= job.begun);
    let newest: Vec<u128> = jobs.all().iter().map(|j| j.id.0).collect();
    assert_eq!(newest, [4, 3, 2, 1, 0]);
}

#[test]
fn the_same_id_starts_once() {
    let jobs = Runner::with_workers(1);
    let runs = Arc::new(AtomicUsize::new(0));
    for _ in 0..3 {
        let runs = Arc::clone(&runs);
        let count = move |_: &job::Progress| {
            runs.fetch_add(1, Ordering::Relaxed);
            Ok(String::new())
        };
        jobs.start(JobId(7), "once", count).unwrap();
    }
    ended(&jobs, 7);
    assert!(jobs.stop(Duration::from_secs(20)));
    assert_eq!(runs.load(Ordering::Relaxed), 1);
}

#[test]
fn a_panic_is_a_failure_of_that_job_alone() {
    let jobs = Runner::with_workers(1);
    jobs.start(JobId(1), "bad", |_| panic!("a fault of ours"))
        .unwrap();
    jobs.start(JobId(2), "good", |_| Ok("fine".to_owned()))
        .unwrap();
    assert_eq!(ended(&jobs, 1), State::Broken);
    assert_eq!(ended(&jobs, 2), State::Done("fine".to_owned()));
}

#[test]
fn what_waits_is_cancelled_at_once_and_what_runs_at_its_next_step() {
    let jobs = Runner::with_workers(1);
    let (_go, begun) = held(&jobs, 1);
    begun.recv().unwrap();
    jobs.start(JobId(2), "waits", |_| Ok("ran".to_owned()))
        .unwrap();
    assert_eq!(jobs.get(JobId(2)).unwrap().state, State::Waiting(1));
    assert!(jobs.cancel(JobId(2)));
    assert_eq!(jobs.get(JobId(2)).unwrap().state, State::Cancelled);
    assert!(jobs.cancel(JobId(1)) && jobs.get(JobId(1)).unwrap().stopping);
    assert_eq!(ended(&jobs, 1), State::Cancelled);
    assert!(!jobs.cancel(JobId(99)));
    // One that has ended stays as it is.
    jobs.start(JobId(3), "done", |_| Ok(String::new())).unwrap();
    ended(&jobs, 3);
    assert!(jobs.cancel(JobId(3)));
    assert_eq!(
        jobs.get(JobId(3)).unwrap().state,
        State::Done(String::new())
    );
}

#[test]
fn no_more_run_at_once_than_there_are_workers_and_no_more_wait_than_fit() {
    let jobs = Runner::with_workers(2);
    let first = held(&jobs, 0);
    let second = held(&jobs, 1);
    first.1.recv().unwrap();
    second.1.recv().unwrap();
    let (now, most) = (Arc::new(AtomicUsize::new(0)), Arc::new(AtomicUsize::new(0)));
    let mut taken = 0;
    for id in 2..60u128 {
        let (now, most) = (Arc::clone(&now), Arc::clone(&most));
        let started = jobs.start(JobId(id), "short", move |_| {
            most.fetch_max(1 + now.fetch_add(1, Ordering::SeqCst), Ordering::SeqCst);
            std::thread::sleep(Duration::from_millis(1));
            now.fetch_sub(1, Ordering::SeqCst);
            Ok(String::new())
        });
        match started {
            Ok(()) => taken += 1,
            Err(NotStarted::Full(n)) => assert_eq!(n, 20),
            Err(other) => panic!("{other}"),
        }
    }
    assert_eq!(taken, 20);
    first.0.send(()).unwrap();
    second.0.send(()).unwrap();
    ended(&jobs, 21);
    assert!(
        (1..=2).contains(&most.load(Ordering::SeqCst)),
        "two at once at most"
    );
}

#[test]
fn the_last_fifty_are_remembered() {
    let jobs = Runner::with_workers(1);
    let (go, begun) = held(&jobs, 1000);
    begun.recv().unwrap();
    go.send(()).unwrap();
    for id in 0..60u128 {
        jobs.start(JobId(id), "short", |_| Ok(String::new()))
            .unwrap();
        ended(&jobs, id);
    }
    let left = jobs.all();
    assert_eq!(left.len(), 50);
    assert!(jobs.get(JobId(9)).is_none() && jobs.get(JobId(10)).is_some());
}

#[test]
fn stopping_waits_for_what_runs_and_takes_nothing_more() {
    let jobs = Runner::with_workers(1);
    let (_go, begun) = held(&jobs, 1);
    begun.recv().unwrap();
    jobs.start(JobId(2), "waits", |_| Ok(String::new()))
        .unwrap();
    assert!(jobs.stop(Duration::from_secs(20)));
    assert_eq!(jobs.get(JobId(1)).unwrap().state, State::Cancelled);
    assert_eq!(jobs.get(JobId(2)).unwrap().state, State::Cancelled);
    let late = jobs.start(JobId(3), "late", |_| Ok(String::new()));
    assert!(matches!(late, Err(NotStarted::Closing)));
}

#[test]
fn letting_go_of_the_runner_stops_its_work() {
    let jobs = Runner::with_workers(1);
    let (told, tell) = channel();
    jobs.start(JobId(1), "long", move |progress| {
        while !progress.is_cancelled() {
            std::thread::sleep(Duration::from_millis(1));
        }
        told.send(()).unwrap();
        Err(Stop::Cancelled)
    })
    .unwrap();
    while jobs.get(JobId(1)).unwrap().state != State::Running {
        std::thread::sleep(Duration::from_millis(1));
    }
    drop(jobs);
    tell.recv_timeout(Duration::from_secs(20)).unwrap();
}
