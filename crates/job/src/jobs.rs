//! The runner: a few threads, a queue, and the last jobs to look back at.

use crate::progress::{Cancelled, Progress, Seen};
use std::collections::VecDeque;
use std::fmt;
use std::io;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant, SystemTime};

/// Ended jobs remembered.
const REMEMBERED: usize = 50;
/// Jobs that may wait; more are not taken.
const WAITING: usize = 20;

/// The id of a job, made by whoever starts it: starting twice with it starts once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct JobId(pub u128);

/// Why work ended without doing what it was for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Stop<T> {
    /// It was asked to.
    Cancelled,
    /// It could not; what there is to say. Boxed, because errors are handed on often.
    Failed(Box<T>),
}

impl<T> Stop<T> {
    /// It could not, for this reason.
    pub fn failed(said: T) -> Self {
        Stop::Failed(Box::new(said))
    }
}

impl<T> From<Cancelled> for Stop<T> {
    fn from(_: Cancelled) -> Self {
        Stop::Cancelled
    }
}

/// Where a job is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum State<T> {
    /// Others are before it: so many wait or run.
    Waiting(usize),
    /// It runs.
    Running,
    /// It did what it was for.
    Done(T),
    /// It could not.
    Failed(T),
    /// It panicked; standard error says more.
    Broken,
    /// It was stopped as asked.
    Cancelled,
}

impl<T> State<T> {
    /// Whether nothing more will happen.
    pub fn has_ended(&self) -> bool {
        !matches!(self, State::Waiting(_) | State::Running)
    }
}

/// A job as it is now.
#[derive(Debug, Clone)]
pub struct Job<A, T> {
    /// Its id.
    pub id: JobId,
    /// What its starter said of it.
    pub about: A,
    /// Where it is.
    pub state: State<T>,
    /// How far it is.
    pub seen: Seen,
    /// Whether it was asked to stop.
    pub stopping: bool,
    /// When it was started, waiting included.
    pub begun: SystemTime,
    /// When it ended.
    pub ended: Option<SystemTime>,
}

/// Why a job was not taken.
#[derive(Debug)]
pub enum NotStarted {
    /// So many wait already.
    Full(usize),
    /// The program is about to end.
    Closing,
    /// The system gave no thread.
    Thread(io::Error),
}

impl fmt::Display for NotStarted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Full(n) => write!(
                f,
                "{n} jobs are waiting already; try again when some have ended"
            ),
            Self::Closing => f.write_str("the program is about to end"),
            Self::Thread(error) => write!(f, "the system gives no thread to work on: {error}"),
        }
    }
}

impl std::error::Error for NotStarted {}

type Work<T> = Box<dyn FnOnce(&Progress) -> Result<T, Stop<T>> + Send>;

/// The runner. `A` is what starters say of their jobs, `T` what jobs have to say at their end.
pub struct Jobs<A, T> {
    office: Arc<Office<A, T>>,
}

struct Office<A, T> {
    desk: Mutex<Desk<A, T>>,
    /// Rung when there is work, and when some has ended.
    bell: Condvar,
    most_workers: usize,
}

struct Desk<A, T> {
    /// Oldest first.
    jobs: VecDeque<Kept<A, T>>,
    queue: VecDeque<(JobId, Work<T>)>,
    workers: usize,
    idle: usize,
    closed: bool,
}

struct Kept<A, T> {
    id: JobId,
    about: A,
    state: State<T>,
    progress: Progress,
    begun: SystemTime,
    ended: Option<SystemTime>,
}

impl<A, T> fmt::Debug for Jobs<A, T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Jobs")
    }
}

impl<A: Clone + Send + 'static, T: Clone + Send + 'static> Default for Jobs<A, T> {
    fn default() -> Self {
        Self::new()
    }
}

impl<A: Clone + Send + 'static, T: Clone + Send + 'static> Jobs<A, T> {
    /// On all cores but one, which is left to whoever waits for a page; at least one.
    pub fn new() -> Self {
        let cores = thread::available_parallelism().map_or(1, usize::from);
        Self::with_workers(cores.saturating_sub(1))
    }

    /// On so many threads, at least one; each is made when it is first needed.
    pub fn with_workers(most_workers: usize) -> Self {
        let desk = Desk {
            jobs: VecDeque::new(),
            queue: VecDeque::new(),
            workers: 0,
            idle: 0,
            closed: false,
        };
        Self {
            office: Arc::new(Office {
                desk: Mutex::new(desk),
                bell: Condvar::new(),
                most_workers: most_workers.max(1),
            }),
        }
    }

    /// Takes a job, or finds that one of this id is already there and leaves it alone.
    ///
    /// # Errors
    /// When too many wait, the runner was stopped, or there is no thread to be had.
    pub fn start(
        &self,
        id: JobId,
        about: A,
        work: impl FnOnce(&Progress) -> Result<T, Stop<T>> + Send + 'static,
    ) -> Result<(), NotStarted> {
        let mut desk = self.office.desk();
        if desk.jobs.iter().any(|j| j.id == id) {
            return Ok(());
        }
        if desk.closed {
            return Err(NotStarted::Closing);
        }
        if desk.queue.len() >= WAITING {
            return Err(NotStarted::Full(desk.queue.len()));
        }
        if desk.idle <= desk.queue.len() && desk.workers < self.office.most_workers {
            let office = Arc::clone(&self.office);
            let thread = thread::Builder::new().name("job".to_owned());
            match thread.spawn(move || office.run()) {
                Ok(_) => desk.workers += 1,
                Err(error) if desk.workers == 0 => return Err(NotStarted::Thread(error)),
                Err(_) => {}
            }
        }
        desk.jobs.push_back(Kept {
            id,
            about,
            state: State::Waiting(0),
            progress: Progress::new(),
            begun: SystemTime::now(),
            ended: None,
        });
        desk.queue.push_back((id, Box::new(work)));
        self.office.bell.notify_all();
        Ok(())
    }

    /// A job by its id; none when it is not remembered (any more).
    pub fn get(&self, id: JobId) -> Option<Job<A, T>> {
        let desk = self.office.desk();
        let kept = desk.jobs.iter().find(|j| j.id == id)?;
        Some(desk.view(kept))
    }

    /// Every job remembered, newest first.
    pub fn all(&self) -> Vec<Job<A, T>> {
        let desk = self.office.desk();
        desk.jobs.iter().rev().map(|kept| desk.view(kept)).collect()
    }

    /// Asks a job to stop: one that waits is cancelled at once, one that runs stops at its next
    /// step, one that has ended stays as it is. Gives whether there is such a job.
    pub fn cancel(&self, id: JobId) -> bool {
        let mut desk = self.office.desk();
        let known = desk.cancel(id);
        let place = desk.queue.iter().position(|(waiting, _)| *waiting == id);
        let dropped = place.and_then(|at| desk.queue.remove(at));
        if dropped.is_some() {
            desk.end(id, State::Cancelled);
        }
        drop(desk);
        // What the work held goes here, outside the lock.
        drop(dropped);
        self.office.bell.notify_all();
        known
    }

    /// Stops everything, takes nothing more, and waits up to `patience` for what runs. Gives
    /// whether all has ended.
    pub fn stop(&self, patience: Duration) -> bool {
        let until = Instant::now() + patience;
        let dropped = self.office.close();
        drop(dropped);
        let mut desk = self.office.desk();
        while desk.jobs.iter().any(|j| !j.state.has_ended()) {
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return false;
            }
            let waited = self.office.bell.wait_timeout(desk, left);
            desk = waited.unwrap_or_else(PoisonError::into_inner).0;
        }
        true
    }
}

impl<A, T> Drop for Jobs<A, T> {
    /// Stops everything without waiting: the last to let go may be a job itself.
    fn drop(&mut self) {
        let dropped = self.office.close();
        drop(dropped);
    }
}

impl<A, T> Office<A, T> {
    /// Jobs never run under this lock; a panic elsewhere leaves the desk in order.
    fn desk(&self) -> MutexGuard<'_, Desk<A, T>> {
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Cancels all and takes no more; gives the work that will not be done.
    fn close(&self) -> VecDeque<(JobId, Work<T>)> {
        let mut desk = self.desk();
        desk.closed = true;
        let queue = std::mem::take(&mut desk.queue);
        for (id, _) in &queue {
            desk.end(*id, State::Cancelled);
        }
        for kept in &desk.jobs {
            kept.progress.cancel();
        }
        self.bell.notify_all();
        queue
    }

    /// A worker's day.
    fn run(&self) {
        let mut desk = self.desk();
        loop {
            let Some((id, work)) = desk.queue.pop_front() else {
                if desk.closed {
                    break;
                }
                desk.idle += 1;
                desk = self.bell.wait(desk).unwrap_or_else(PoisonError::into_inner);
                desk.idle -= 1;
                continue;
            };
            let progress = desk.begin(id);
            drop(desk);
            // The work owns what it touches; after a panic nobody looks at it again.
            let end = catch_unwind(AssertUnwindSafe(|| work(&progress)));
            let state = match end {
                Ok(Ok(said)) => State::Done(said),
                Ok(Err(Stop::Failed(said))) => State::Failed(*said),
                Ok(Err(Stop::Cancelled)) => State::Cancelled,
                Err(_) => State::Broken,
            };
            desk = self.desk();
            desk.end(id, state);
            self.bell.notify_all();
        }
        desk.workers -= 1;
    }
}

impl<A, T> Desk<A, T> {
    fn find(&mut self, id: JobId) -> Option<&mut Kept<A, T>> {
        self.jobs.iter_mut().find(|j| j.id == id)
    }

    fn begin(&mut self, id: JobId) -> Progress {
        match self.find(id) {
            Some(kept) => {
                kept.state = State::Running;
                kept.progress.clone()
            }
            None => Progress::none(),
        }
    }

    fn cancel(&mut self, id: JobId) -> bool {
        let found = self.find(id);
        if let Some(kept) = &found {
            kept.progress.cancel();
        }
        found.is_some()
    }

    fn end(&mut self, id: JobId, state: State<T>) {
        if let Some(kept) = self.find(id) {
            kept.state = state;
            kept.ended = Some(SystemTime::now());
        }
        let mut over = self.jobs.iter().filter(|j| j.state.has_ended()).count();
        self.jobs.retain(|j| {
            let goes = over > REMEMBERED && j.state.has_ended();
            over -= usize::from(goes);
            !goes
        });
    }
}

impl<A: Clone, T: Clone> Desk<A, T> {
    fn view(&self, kept: &Kept<A, T>) -> Job<A, T> {
        let running = || {
            self.jobs
                .iter()
                .filter(|j| matches!(j.state, State::Running))
        };
        let state = match &kept.state {
            State::Waiting(_) => {
                let queued = self.queue.iter().position(|(id, _)| *id == kept.id);
                State::Waiting(queued.unwrap_or(0) + running().count())
            }
            other => other.clone(),
        };
        Job {
            id: kept.id,
            about: kept.about.clone(),
            state,
            seen: kept.progress.seen(),
            stopping: kept.progress.is_cancelled(),
            begun: kept.begun,
            ended: kept.ended,
        }
    }
}
