//! Sums in a lesson file: what the right answer is, when an option is right, what a number in the text comes to.
//!
//! Numbers, names, `+ - * /`, brackets, the comparisons `< <= > >= =`, `and`, `or`, and a few functions. No loops, no
//! assignments: a sum is read in one pass and worked out in one pass.

use super::slip::Slip;
use sim_core::names::nearest_hint;

/// Deepest nesting of brackets.
const DEEPEST: usize = 24;

/// Functions with the number of their arguments.
const FUNCTIONS: [(&str, usize); 7] =
    [("abs", 1), ("floor", 1), ("max", 2), ("min", 2), ("rest", 2), ("round", 1), ("sqrt", 1)];

/// A sum.
#[derive(Clone, Debug, PartialEq)]
pub struct Expr {
    node: Node,
    names: Vec<(String, usize)>,
}

#[derive(Clone, Debug, PartialEq)]
enum Node {
    Number(f64),
    Name(String),
    Minus(Box<Node>),
    Two(Op, Box<(Node, Node)>),
    Call(&'static str, Vec<Node>),
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Op {
    Add,
    Take,
    Times,
    Over,
    Less,
    AtMost,
    More,
    AtLeast,
    Same,
    And,
    Or,
}

impl Expr {
    /// Reads a sum.
    ///
    /// # Errors
    /// The first place that cannot be read.
    pub fn parse(text: &str) -> Result<Self, Slip> {
        let mut reader = Reader { text, at: 0, depth: 0, names: Vec::new() };
        let node = reader.either()?;
        reader.space();
        if reader.at < text.len() {
            let rest = reader.at..text.len();
            return Err(Slip::new(rest, "the sum goes on where it should end", "write + - * / between its parts."));
        }
        Ok(Self { node, names: reader.names })
    }

    /// The names in it, with their places.
    pub fn names(&self) -> impl Iterator<Item = (&str, usize)> {
        self.names.iter().map(|(name, at)| (name.as_str(), *at))
    }

    /// What it comes to; a comparison that holds is 1, one that does not is 0.
    ///
    /// # Errors
    /// A name has no value, or the result is no finite number (divided by nothing).
    pub fn value(&self, of: &dyn Fn(&str) -> Option<f64>) -> Result<f64, String> {
        let value = work_out(&self.node, of)?;
        if value.is_finite() { Ok(value) } else { Err("it does not come to a finite number".to_owned()) }
    }
}

fn work_out(node: &Node, of: &dyn Fn(&str) -> Option<f64>) -> Result<f64, String> {
    let truth = |holds: bool| f64::from(u8::from(holds));
    Ok(match node {
        Node::Number(n) => *n,
        Node::Name(name) => of(name).ok_or_else(|| format!("\"{name}\" has no value"))?,
        Node::Minus(node) => -work_out(node, of)?,
        Node::Two(op, parts) => {
            let (a, b) = (work_out(&parts.0, of)?, work_out(&parts.1, of)?);
            match op {
                Op::Add => a + b,
                Op::Take => a - b,
                Op::Times => a * b,
                Op::Over => a / b,
                Op::Less => truth(a < b),
                Op::AtMost => truth(a <= b),
                Op::More => truth(a > b),
                Op::AtLeast => truth(a >= b),
                Op::Same => truth(a == b),
                Op::And => truth(a != 0.0 && b != 0.0),
                Op::Or => truth(a != 0.0 || b != 0.0),
            }
        }
        Node::Call(name, parts) => {
            let mut values = [0.0; 2];
            for (value, part) in values.iter_mut().zip(parts) {
                *value = work_out(part, of)?;
            }
            let [a, b] = values;
            match *name {
                "abs" => a.abs(),
                "floor" => a.floor(),
                "round" => (a + 0.5).floor(),
                "sqrt" => a.sqrt(),
                "min" => a.min(b),
                "max" => a.max(b),
                _ => a - b * (a / b).floor(),
            }
        }
    })
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
    depth: usize,
    names: Vec<(String, usize)>,
}

impl Reader<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn space(&mut self) {
        self.at += self.rest().len() - self.rest().trim_start().len();
    }

    /// Takes one of these signs if it comes next.
    fn take<T: Copy>(&mut self, signs: &[(&str, T)]) -> Option<T> {
        self.space();
        let (sign, what) = signs.iter().find(|(sign, _)| self.rest().starts_with(sign)).copied()?;
        if sign.starts_with(char::is_alphabetic)
            && self.rest()[sign.len()..].starts_with(|c: char| c.is_alphanumeric() || c == '_')
        {
            return None;
        }
        self.at += sign.len();
        Some(what)
    }

    fn chain(&mut self, signs: &[(&str, Op)], part: fn(&mut Self) -> Result<Node, Slip>) -> Result<Node, Slip> {
        let mut left = part(self)?;
        while let Some(op) = self.take(signs) {
            let right = part(self)?;
            left = Node::Two(op, Box::new((left, right)));
        }
        Ok(left)
    }

    fn either(&mut self) -> Result<Node, Slip> {
        self.chain(&[("or", Op::Or)], Self::both)
    }

    fn both(&mut self) -> Result<Node, Slip> {
        self.chain(&[("and", Op::And)], Self::comparison)
    }

    fn comparison(&mut self) -> Result<Node, Slip> {
        let left = self.sum()?;
        let signs = [("<=", Op::AtMost), ("<", Op::Less), (">=", Op::AtLeast), (">", Op::More), ("=", Op::Same)];
        match self.take(&signs) {
            Some(op) => Ok(Node::Two(op, Box::new((left, self.sum()?)))),
            None => Ok(left),
        }
    }

    fn sum(&mut self) -> Result<Node, Slip> {
        self.chain(&[("+", Op::Add), ("-", Op::Take)], Self::product)
    }

    fn product(&mut self) -> Result<Node, Slip> {
        self.chain(&[("*", Op::Times), ("/", Op::Over)], Self::part)
    }

    fn part(&mut self) -> Result<Node, Slip> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(Slip::new(
                self.at..self.at,
                "too many brackets or minus signs inside one another",
                "simplify the sum.",
            ));
        }
        self.space();
        let start = self.at;
        let node = match self.rest().chars().next() {
            Some('-') => {
                self.at += 1;
                Node::Minus(Box::new(self.part()?))
            }
            Some('(') => {
                self.at += 1;
                let node = self.either()?;
                self.close(start)?;
                node
            }
            Some(c) if c.is_ascii_digit() || c == '.' => self.number()?,
            Some(c) if c.is_ascii_alphabetic() => self.name()?,
            Some(c) => {
                let what = format!("\"{c}\" cannot stand here");
                return Err(Slip::new(start..start + c.len_utf8(), what, "write a number, a name or a bracket."));
            }
            None => {
                return Err(Slip::new(start..start, "the sum ends too early", "write a number or a name at its end."));
            }
        };
        self.depth -= 1;
        Ok(node)
    }

    fn close(&mut self, opened: usize) -> Result<(), Slip> {
        self.take(&[(")", ())])
            .ok_or_else(|| Slip::new(opened..self.at, "this bracket is not closed", "write ) where the bracket ends."))
    }

    fn number(&mut self) -> Result<Node, Slip> {
        let start = self.at;
        let length = self.rest().find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(self.rest().len());
        self.at += length;
        let text = &self.text[start..self.at];
        text.parse().map(Node::Number).map_err(|_| {
            Slip::new(start..self.at, format!("\"{text}\" is no number"), "write it with one decimal point, as 0.5.")
        })
    }

    fn name(&mut self) -> Result<Node, Slip> {
        let start = self.at;
        // A hyphen belongs to a name only in ids of scenes, which a point follows; elsewhere it is a minus.
        let word = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '.';
        let mut length = self.rest().find(|c: char| !word(c)).unwrap_or(self.rest().len());
        let long = self.rest().find(|c: char| !word(c) && c != '-').unwrap_or(self.rest().len());
        if self.rest()[..long].find('.').is_some_and(|dot| dot > length) {
            length = long;
        }
        let name = self.rest()[..length].to_owned();
        self.at += length;
        if self.take(&[("(", ())]).is_none() {
            self.names.push((name.clone(), start));
            return Ok(Node::Name(name));
        }
        let Some((function, wanted)) = FUNCTIONS.iter().find(|(known, _)| *known == name) else {
            let what =
                format!("there is no function \"{name}\"; {}", nearest_hint(&name, FUNCTIONS.map(|f| f.0).into_iter()));
            return Err(Slip::new(start..start + name.len(), what, "use one of these functions."));
        };
        let mut parts = vec![self.either()?];
        while self.take(&[(",", ())]).is_some() {
            parts.push(self.either()?);
        }
        self.close(start)?;
        if parts.len() != *wanted {
            let what = format!("{name} takes {wanted} number(s), here are {}", parts.len());
            return Err(Slip::new(start..self.at, what, "write commas between the numbers."));
        }
        Ok(Node::Call(function, parts))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str) -> f64 {
        let of = |name: &str| match name {
            "n" => Some(7.0),
            "five-lines.count" => Some(5.0),
            _ => None,
        };
        Expr::parse(text)
            .unwrap_or_else(|e| panic!("{text}: {e:?}"))
            .value(&of)
            .unwrap_or_else(|e| panic!("{text}: {e}"))
    }

    #[test]
    fn sums_are_worked_out_with_the_usual_precedence() {
        assert_eq!(value("1 + 2 * 3"), 7.0);
        assert_eq!(value("8 / 2 / 2 - -1"), 3.0);
        assert_eq!(value("(1 + 2) * n"), 21.0);
        assert_eq!(value("n-1"), 6.0);
        assert_eq!(value("five-lines.count * 2"), 10.0);
        assert_eq!(value("n > 6 and n <= 7 or 0"), 1.0);
        assert_eq!(value("n = 8"), 0.0);
        assert_eq!(value("max(n, 9) + min(1, 2) + abs(-2) + floor(1.9) + round(1.5) + sqrt(16) + rest(7, 4)"), 22.0);
    }

    #[test]
    fn what_cannot_be_read_is_told_with_its_place() {
        let slip = |text: &str| Expr::parse(text).unwrap_err();
        assert_eq!(slip("1 + ").what, "the sum ends too early");
        assert_eq!(slip("(1 + 2").at.start, 0);
        assert!(slip("sqr(4)").what.contains("did you mean \"sqrt\""));
        assert!(slip("max(4)").what.contains("takes 2"));
        assert!(slip("1.2.3").what.contains("no number"));
        assert!(slip("2 n").what.contains("goes on"));
        assert!(slip(&"(".repeat(10_000)).what.contains("too many"));
        assert!(slip(&"-".repeat(10_000)).what.contains("too many"));
        assert!(Expr::parse("1 / 0").unwrap().value(&|_| None).is_err());
        assert!(Expr::parse("x").unwrap().value(&|_| None).unwrap_err().contains("\"x\""));
    }
}
