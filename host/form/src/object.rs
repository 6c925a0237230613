//! Objects that are written as objects: a derived shape would take a list of its values as well, in an order that nobody
//! wrote down. The shapes themselves are left to the modules beside this one.

use std::fmt;
use std::marker::PhantomData;

use serde::de::value::MapAccessDeserializer;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer};

/// A shape that is read from an object only.
pub struct Object<T>(pub T);

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Object<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Object<T>, D::Error> {
        from.deserialize_map(ObjectVisitor(PhantomData))
    }
}

struct ObjectVisitor<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for ObjectVisitor<T> {
    type Value = Object<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object { }")
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Object<T>, A::Error> {
        T::deserialize(MapAccessDeserializer::new(map)).map(Object)
    }
}

/// For a field that is one shape.
///
/// # Errors
/// Those of reading it.
pub fn object<'de, T: Deserialize<'de>, D: Deserializer<'de>>(from: D) -> Result<T, D::Error> {
    Object::deserialize(from).map(|object| object.0)
}

/// For a field that is a list of shapes.
///
/// # Errors
/// Those of reading it.
pub fn objects<'de, T: Deserialize<'de>, D: Deserializer<'de>>(
    from: D,
) -> Result<Vec<T>, D::Error> {
    let list = Vec::<Object<T>>::deserialize(from)?;
    Ok(list.into_iter().map(|object| object.0).collect())
}
