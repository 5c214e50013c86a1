//! Where a value stands in a file: a JSON pointer (RFC 6901) that prints like `lines[0].wires[2].conductor`.

use std::fmt;

/// A place in a JSON document.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Path(String);

impl Path {
    /// The whole document.
    #[must_use]
    pub fn root() -> Self {
        Self::default()
    }

    /// The value of a key of the object here.
    #[must_use]
    pub fn key(&self, key: &str) -> Self {
        Self(format!("{}/{}", self.0, key.replace('~', "~0").replace('/', "~1")))
    }

    /// An item of the list here, counted from 0.
    #[must_use]
    pub fn index(&self, index: usize) -> Self {
        Self(format!("{}/{index}", self.0))
    }

    /// The JSON pointer.
    #[must_use]
    pub fn pointer(&self) -> &str {
        &self.0
    }

    /// What holds this value; none for the whole document.
    #[must_use]
    pub fn parent(&self) -> Option<Self> {
        self.0.rfind('/').map(|end| Self(self.0[..end].to_string()))
    }
}

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() {
            return f.write_str("the file");
        }
        for (number, step) in self.0.split('/').skip(1).enumerate() {
            let step = step.replace("~1", "/").replace("~0", "~");
            match step.parse::<usize>() {
                Ok(index) => write!(f, "[{index}]")?,
                Err(_) if number == 0 => f.write_str(&step)?,
                Err(_) => write!(f, ".{step}")?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prints_for_people_and_points_for_programs() {
        let path = Path::root().key("lines").index(0).key("a/b");
        assert_eq!(path.to_string(), "lines[0].a/b");
        assert_eq!(path.pointer(), "/lines/0/a~1b");
        assert_eq!(path.parent().map(|p| p.to_string()).as_deref(), Some("lines[0]"));
        assert_eq!(Path::root().to_string(), "the file");
    }
}
