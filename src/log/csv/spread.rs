//! Lines spread over the whole of a table, whose length is not known before its end.
//!
//! In: text in pieces. Out: some hundred lines at even distances, the same ones
//! wherever the pieces end. Kinds of columns are decided from them: a decimal comma
//! may first be seen after an hour of standing still.
//!
//! Method: the line after every multiple of a step is kept; when there are too many,
//! the step doubles and every second one goes.

/// Most lines kept; half of that at least, in a text of so many.
const MOST: usize = 160;
const FIRST_STEP: u64 = 64;
/// A line that takes longer to end is not looked at.
const LONGEST: u64 = 1 << 16;

pub struct Spread {
    /// Each with the place that it was kept for.
    lines: Vec<(u64, Vec<u8>)>,
    step: u64,
    /// Where the text fed so far ends.
    place: u64,
    /// The place for which a line is looked for.
    wanted: u64,
    looking: Looking,
}

#[derive(PartialEq)]
enum Looking {
    /// For the place.
    Place,
    /// For the line break after it.
    Start,
    /// For the end of the line.
    End(Vec<u8>),
}

impl Spread {
    pub fn new() -> Self {
        let (step, looking) = (FIRST_STEP, Looking::Place);
        Spread { lines: Vec::new(), step, place: 0, wanted: step, looking }
    }

    pub fn feed(&mut self, mut text: &[u8]) {
        while !text.is_empty() {
            let last = self.wanted + if self.looking == Looking::Place { 0 } else { LONGEST };
            let ahead = last.saturating_sub(self.place).min(text.len() as u64) as usize;
            let (window, at_last) = (&text[..ahead], self.place + ahead as u64 == last);
            let line_end = match self.looking {
                Looking::Place => None,
                _ => window.iter().position(|&b| b == b'\n'),
            };
            let taken = match &mut self.looking {
                Looking::Place => {
                    if at_last {
                        self.looking = Looking::Start;
                    }
                    ahead
                }
                Looking::Start if line_end.is_some() => {
                    self.looking = Looking::End(Vec::new());
                    line_end.map_or(ahead, |at| at + 1)
                }
                Looking::End(line) if line_end.is_some() => {
                    let end = line_end.unwrap_or(ahead);
                    line.extend_from_slice(&window[..end]);
                    let line = std::mem::take(line);
                    self.keep(line, end as u64 + 1);
                    end + 1
                }
                Looking::End(line) if !at_last => {
                    line.extend_from_slice(window);
                    ahead
                }
                _ => {
                    if at_last {
                        self.next(self.place + ahead as u64);
                    }
                    ahead
                }
            };
            self.place += taken as u64;
            text = &text[taken..];
        }
    }

    fn keep(&mut self, line: Vec<u8>, length: u64) {
        self.lines.push((self.wanted, line));
        if self.lines.len() >= MOST {
            self.step *= 2;
            let step = self.step;
            self.lines.retain(|(wanted, _)| wanted.is_multiple_of(step));
        }
        self.next(self.place + length);
    }

    /// Looks for the line of the next step from a place on.
    fn next(&mut self, place: u64) {
        self.wanted = (place / self.step + 1) * self.step;
        self.looking = Looking::Place;
    }

    pub fn lines(&self) -> impl Iterator<Item = &[u8]> {
        self.lines.iter().map(|(_, line)| line.trim_ascii_end())
    }
}
