//! A body on its way from the connection to whoever reads it, however slowly.
//!
//! Many callers send all of a body before they read any of the answer, so that it must be taken in
//! whole or both would wait for each other. Invariants: memory holds no more than [`IN_MEMORY`] of
//! it, the rest lies in a file without a name; the reader waits for the writer, never the other way.
//! Absent: what the bytes mean.

use std::{
    collections::VecDeque,
    fs::File,
    io::{self, Read, Seek as _, SeekFrom, Write as _},
    sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError},
};

/// How much is held in memory before the rest goes to a file, in bytes.
const IN_MEMORY: usize = 256 * 1024;

/// How the writing ended.
#[derive(Clone, Debug, PartialEq, Eq)]
enum End {
    /// All of it came.
    Whole,
    /// It broke off.
    Broken,
}

#[derive(Debug, Default)]
struct State {
    memory: VecDeque<u8>,
    file: Option<File>,
    written: u64,
    read: u64,
    end: Option<End>,
    abandoned: bool,
}

#[derive(Debug, Default)]
struct Shared {
    state: Mutex<State>,
    changed: Condvar,
}

impl Shared {
    fn lock(&self) -> MutexGuard<'_, State> {
        // The state is whole between any two statements, so that a panic elsewhere spoils nothing.
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The end where bytes go in. Dropped before [`SpoolWriter::finish`], the body has broken off.
#[derive(Debug)]
pub(super) struct SpoolWriter(Arc<Shared>);

/// The end where they come out.
#[derive(Debug)]
pub(super) struct SpoolReader(Arc<Shared>);

/// An empty spool.
pub(super) fn open() -> (SpoolWriter, SpoolReader) {
    let shared = Arc::<Shared>::default();
    (SpoolWriter(shared.clone()), SpoolReader(shared))
}

impl SpoolWriter {
    /// Adds bytes; false when nobody will read them.
    pub(super) fn write(&self, bytes: &[u8]) -> io::Result<bool> {
        let mut state = self.0.lock();
        if state.abandoned {
            return Ok(false);
        }
        state.write(bytes)?;
        self.0.changed.notify_one();
        Ok(true)
    }

    /// Says that all bytes are there.
    pub(super) fn finish(self) {
        self.0.lock().end = Some(End::Whole);
    }
}

impl Drop for SpoolWriter {
    fn drop(&mut self) {
        self.0.lock().end.get_or_insert(End::Broken);
        self.0.changed.notify_one();
    }
}

impl Drop for SpoolReader {
    fn drop(&mut self) {
        let mut state = self.0.lock();
        *state = State {
            abandoned: true,
            ..State::default()
        };
    }
}

impl Read for SpoolReader {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let mut state = self.0.lock();
        loop {
            if let Some(read) = state.read(into)? {
                return Ok(read);
            }
            let waited = self.0.changed.wait(state);
            state = waited.unwrap_or_else(PoisonError::into_inner);
        }
    }
}

impl State {
    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        if self.file.is_none() && self.memory.len() + bytes.len() <= IN_MEMORY {
            self.memory.extend(bytes);
            return Ok(());
        }
        let file = match &mut self.file {
            Some(file) => file,
            // Beyond this nothing goes to memory any more, so that the order is kept.
            none => none.insert(tempfile::tempfile()?),
        };
        file.seek(SeekFrom::Start(self.written))?;
        file.write_all(bytes)?;
        self.written += bytes.len() as u64;
        Ok(())
    }

    /// Some of what is there; none where more is to come.
    fn read(&mut self, into: &mut [u8]) -> io::Result<Option<usize>> {
        if !self.memory.is_empty() {
            return self.memory.read(into).map(Some);
        }
        if let Some(file) = self.file.as_mut().filter(|_| self.read < self.written) {
            file.seek(SeekFrom::Start(self.read))?;
            let read = file.read(into)?;
            self.read += read as u64;
            return Ok(Some(read));
        }
        match self.end {
            None => Ok(None),
            Some(End::Whole) => Ok(Some(0)),
            Some(End::Broken) => Err(io::ErrorKind::UnexpectedEof.into()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_goes_in_comes_out_from_memory_and_from_the_file() {
        let (writer, mut reader) = open();
        let sent: Vec<u8> = (0..3 * IN_MEMORY).map(|at| (at % 251) as u8).collect();
        let feeder = std::thread::spawn({
            let sent = sent.clone();
            move || {
                for piece in sent.chunks(60_000) {
                    assert!(writer.write(piece).expect("there is room"));
                }
                writer.finish();
            }
        });
        let mut found = Vec::new();
        reader.read_to_end(&mut found).expect("it is whole");
        feeder.join().expect("the feeder ends");
        assert!(found == sent, "{} of {}", found.len(), sent.len());
    }

    #[test]
    fn a_body_that_breaks_off_is_told_after_what_came() {
        let (writer, mut reader) = open();
        assert!(writer.write(b"half").expect("there is room"));
        drop(writer);
        let mut found = Vec::new();
        let error = reader.read_to_end(&mut found).expect_err("it broke off");
        assert_eq!(error.kind(), io::ErrorKind::UnexpectedEof);
        assert_eq!(found, b"half");
    }

    #[test]
    fn nothing_is_kept_for_a_reader_that_went_away() {
        let (writer, reader) = open();
        drop(reader);
        assert!(!writer.write(b"more").expect("it is not an error"));
        assert!(writer.0.lock().memory.is_empty());
    }
}
