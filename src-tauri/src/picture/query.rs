//! The query of a request: `name=value` pairs of numbers and short words, so that nothing needs decoding but commas.

use crate::error::Error;
use std::str::FromStr;
use tonefast_core::{Frame, Squint, View};

/// A request's query.
pub(crate) struct Query<'a>(Vec<(&'a str, String)>);

impl<'a> Query<'a> {
    pub(crate) fn new(text: &'a str) -> Self {
        let pairs = text.split('&').filter_map(|pair| pair.split_once('='));
        Self(
            pairs
                .map(|(name, value)| {
                    (name, percent_encoding::percent_decode_str(value).decode_utf8_lossy().into_owned())
                })
                .collect(),
        )
    }

    pub(crate) fn optional(&self, name: &str) -> Option<&str> {
        self.0.iter().find(|pair| pair.0 == name).map(|pair| pair.1.as_str())
    }

    pub(crate) fn text(&self, name: &str) -> Result<&str, Error> {
        self.optional(name).ok_or_else(|| Error::Caller(format!("{name} is missing")))
    }

    pub(crate) fn number<T: FromStr>(&self, name: &str) -> Result<T, Error> {
        parse(self.text(name)?)
    }

    pub(crate) fn numbers<T: FromStr>(&self, name: &str) -> Result<Vec<T>, Error> {
        parse_list(self.text(name)?)
    }
}

pub(crate) fn parse_view(name: &str) -> Result<View, Error> {
    match name {
        "colour" => Ok(View::Colour),
        "lightness" => Ok(View::Lightness),
        "bands" => Ok(View::Bands),
        "outlines" => Ok(View::Outlines),
        _ => Err(Error::Caller(format!("no view is called {name}"))),
    }
}

pub(crate) fn parse_squint(name: &str) -> Result<Option<Squint>, Error> {
    match name {
        "none" => Ok(None),
        "slight" => Ok(Some(Squint::Slight)),
        "half" => Ok(Some(Squint::Half)),
        "nearly" => Ok(Some(Squint::Nearly)),
        _ => Err(Error::Caller(format!("no squint is called {name}"))),
    }
}

/// Four corners, `x,y` each.
pub(crate) fn parse_frame(text: &str) -> Result<Frame, Error> {
    let numbers: Vec<f64> = parse_list(text)?;
    let (corners, rest) = numbers.as_chunks::<2>();
    let corners = corners.try_into().map_err(|_| Error::Caller("a frame has four corners".to_owned()))?;
    if rest.is_empty() {
        Ok(Frame::new(corners)?)
    } else {
        Err(Error::Caller("a corner lacks its y".to_owned()))
    }
}

fn parse_list<T: FromStr>(text: &str) -> Result<Vec<T>, Error> {
    text.split(',').map(parse).collect()
}

fn parse<T: FromStr>(text: &str) -> Result<T, Error> {
    text.parse().map_err(|_| Error::Caller(format!("{text} is no number")))
}
