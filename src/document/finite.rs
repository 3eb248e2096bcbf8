//! Walks anything serialisable and refuses a number that is no number, naming its place.
//!
//! `serde_json` writes NaN and infinity as `null`, which would hide a bug as an unknown value.

use serde::ser::{self, Serialize};
use std::fmt;

/// A number that is not finite, and where it stands: `notes[3].tension_n`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotFinite {
    /// Keys and indices from the root.
    pub place: String,
}

impl fmt::Display for NotFinite {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a number at {} is not finite", self.place)
    }
}

impl std::error::Error for NotFinite {}

impl ser::Error for NotFinite {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self { place: message.to_string() }
    }
}

/// Checks that every number in `data` is finite.
pub(super) fn check(data: &impl Serialize) -> Result<(), NotFinite> {
    data.serialize(Walk { place: String::new() })
}

#[derive(Clone)]
struct Walk {
    place: String,
}

impl Walk {
    fn number(&self, value: f64) -> Result<(), NotFinite> {
        if value.is_finite() { Ok(()) } else { Err(NotFinite { place: self.place.clone() }) }
    }

    fn key(&self, key: &str) -> Self {
        let dot = if self.place.is_empty() { "" } else { "." };
        Self { place: format!("{}{dot}{key}", self.place) }
    }

    fn index(&self, index: usize) -> Self {
        Self { place: format!("{}[{index}]", self.place) }
    }
}

/// A sequence or a map being walked.
struct Inside {
    walk: Walk,
    next: usize,
    key: String,
}

impl Inside {
    fn of(walk: Walk) -> Self {
        Self { walk, next: 0, key: String::new() }
    }

    fn item<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), NotFinite> {
        let walk = self.walk.index(self.next);
        self.next += 1;
        value.serialize(walk)
    }
}

macro_rules! nothing_to_check {
    ($($name:ident($($type:ty),*);)*) => {$(
        fn $name(self, $(_: $type),*) -> Result<(), NotFinite> { Ok(()) }
    )*};
}

impl ser::Serializer for Walk {
    type Ok = ();
    type Error = NotFinite;
    type SerializeSeq = Inside;
    type SerializeTuple = Inside;
    type SerializeTupleStruct = Inside;
    type SerializeTupleVariant = Inside;
    type SerializeMap = Inside;
    type SerializeStruct = Inside;
    type SerializeStructVariant = Inside;

    nothing_to_check! {
        serialize_bool(bool); serialize_char(char); serialize_str(&str); serialize_bytes(&[u8]);
        serialize_i8(i8); serialize_i16(i16); serialize_i32(i32); serialize_i64(i64);
        serialize_u8(u8); serialize_u16(u16); serialize_u32(u32); serialize_u64(u64);
        serialize_none(); serialize_unit(); serialize_unit_struct(&'static str);
        serialize_unit_variant(&'static str, u32, &'static str);
    }

    fn serialize_f32(self, value: f32) -> Result<(), NotFinite> {
        self.number(f64::from(value))
    }

    fn serialize_f64(self, value: f64) -> Result<(), NotFinite> {
        self.number(value)
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), NotFinite> {
        value.serialize(self)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<(), NotFinite> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<(), NotFinite> {
        value.serialize(self.key(variant))
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Inside, NotFinite> {
        Ok(Inside::of(self))
    }

    fn serialize_tuple(self, _: usize) -> Result<Inside, NotFinite> {
        Ok(Inside::of(self))
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Inside, NotFinite> {
        Ok(Inside::of(self))
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        _: usize,
    ) -> Result<Inside, NotFinite> {
        Ok(Inside::of(self.key(variant)))
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Inside, NotFinite> {
        Ok(Inside::of(self))
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Inside, NotFinite> {
        Ok(Inside::of(self))
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        _: usize,
    ) -> Result<Inside, NotFinite> {
        Ok(Inside::of(self.key(variant)))
    }
}

macro_rules! items {
    ($($of:ident::$each:ident),*) => {$(
        impl ser::$of for Inside {
            type Ok = ();
            type Error = NotFinite;
            fn $each<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), NotFinite> {
                self.item(value)
            }
            fn end(self) -> Result<(), NotFinite> {
                Ok(())
            }
        }
    )*};
}
items!(
    SerializeSeq::serialize_element,
    SerializeTuple::serialize_element,
    SerializeTupleStruct::serialize_field,
    SerializeTupleVariant::serialize_field
);

macro_rules! fields {
    ($($of:ident),*) => {$(
        impl ser::$of for Inside {
            type Ok = ();
            type Error = NotFinite;
            fn serialize_field<T: Serialize + ?Sized>(
                &mut self,
                key: &'static str,
                value: &T,
            ) -> Result<(), NotFinite> {
                value.serialize(self.walk.key(key))
            }
            fn end(self) -> Result<(), NotFinite> {
                Ok(())
            }
        }
    )*};
}
fields!(SerializeStruct, SerializeStructVariant);

impl ser::SerializeMap for Inside {
    type Ok = ();
    type Error = NotFinite;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), NotFinite> {
        let name = serde_json::to_value(key).map_err(ser::Error::custom)?;
        self.key = name.as_str().map_or_else(|| name.to_string(), str::to_owned);
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), NotFinite> {
        value.serialize(self.walk.key(&self.key))
    }

    fn end(self) -> Result<(), NotFinite> {
        Ok(())
    }
}
