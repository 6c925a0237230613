//! What set-up files say is put into a level where it says nothing itself; what two of them say is told. Where the files
//! come from is left to the module above.

use std::collections::HashMap;

use serde_json::{Value, json};

use super::{Gathered, SetupFile, told};
use crate::places::{Origin, Places};
use crate::position::{self, Found, Step};

/// A level into which its files' settings and stock are put.
pub struct Merging<'a> {
    /// The level's shape, as JSON would hold it.
    pub level: &'a mut Value,
    /// Where the level's own values stand.
    pub own: &'a dyn Places,
    /// The files, and what becomes of them.
    pub gathered: &'a mut Gathered,
}

impl Merging<'_> {
    /// Puts in everything.
    pub fn all(mut self) {
        let files = std::mem::take(&mut self.gathered.files);
        let mut set: HashMap<Vec<Step>, usize> = HashMap::new();
        let mut mouldings: Vec<Value> = Vec::new();
        for (place, file) in files.iter().enumerate() {
            self.settings(place, file, &files, &mut set);
            for (index, moulding) in list(&file.sheet, "mouldings").iter().enumerate() {
                let inner = vec![Step::Key("mouldings"), Step::Index(index)];
                let same = mouldings.iter().position(|one| same_name(one, moulding));
                if let Some(first) = same {
                    let steps = [Step::Key("mouldings"), Step::Index(first)];
                    let origin = self.gathered.origins.get(steps.as_slice()).cloned();
                    self.twice(file, &inner, origin, &files);
                    continue;
                }
                let steps = vec![Step::Key("mouldings"), Step::Index(mouldings.len())];
                self.gathered.origins.insert(steps, (Some(place), inner));
                mouldings.push(moulding.clone());
            }
        }
        self.stock(mouldings, &files);
        self.gathered.files = files;
    }

    /// Single settings: the level's own goes before a file's.
    fn settings(
        &mut self,
        place: usize,
        file: &SetupFile,
        files: &[SetupFile],
        set: &mut HashMap<Vec<Step>, usize>,
    ) {
        let cut_list = self.level.get("cut_list").is_some();
        let mut all: Vec<&Vec<Step>> = file.places.places.keys().collect();
        all.sort_by_key(|steps| file.places.places[*steps].start);
        for steps in all {
            let (Some(Step::Key(first)), last) = (steps.first(), steps.last()) else {
                continue;
            };
            // all springs together are one setting
            let steps = match (*first, last) {
                ("mouldings", _) => continue,
                ("spring", Some(Step::Index(0))) => vec![Step::Key("spring")],
                ("spring", _) => continue,
                _ => steps.clone(),
            };
            let first = steps.first();
            let walk_only = !matches!(first, Some(Step::Key("unit" | "mark" | "saw")));
            if cut_list && walk_only || self.own_says(&steps) {
                continue;
            }
            if let Some(before) = set.get(&steps) {
                let origin = (Some(*before), steps.clone());
                self.twice(file, &steps, Some(origin), files);
                continue;
            }
            if let Some(value) = at(&file.sheet, &steps) {
                put(self.level, &steps, value.clone());
                set.insert(steps.clone(), place);
                self.gathered
                    .origins
                    .insert(steps.clone(), (Some(place), steps));
            }
        }
    }

    fn own_says(&self, steps: &[Step]) -> bool {
        let says = |steps: &[Step]| matches!(self.own.find(steps), Found::Value(_));
        let first = [steps, &[Step::Index(0)]].concat();
        says(steps) || steps == [Step::Key("spring")] && says(&first)
    }

    /// The same thing is set by two files.
    fn twice(
        &mut self,
        file: &SetupFile,
        steps: &[Step],
        before: Option<Origin>,
        files: &[SetupFile],
    ) {
        let more: &[Step] = match steps {
            [Step::Key("spring")] => &[Step::Index(0)],
            [Step::Key("mouldings"), _] => &[Step::Key("name")],
            _ => &[],
        };
        let steps = [steps, more].concat();
        let first = before.and_then(|(place, steps)| {
            let first = files.get(place?)?;
            let start = match steps.as_slice() {
                [Step::Key("spring")] => first.places.find(&[Step::Key("spring"), Step::Index(0)]),
                steps => first.places.find(steps),
            };
            let (line, _) = position::line_and_column(first.places.text(), start.start());
            Some(format!("{}:{line}", first.name))
        });
        let expected = format!(
            "this in one set-up file only: {} says it too",
            first.unwrap_or_default()
        );
        let example = match steps.first() {
            Some(Step::Key("mouldings")) => "moulding closet base",
            _ => "saw kerf 1/8",
        };
        let told = told(&file.places, &steps, &expected, example);
        self.gathered.refused.push(told.in_file(&file.name));
    }

    /// The files' mouldings, with what the level has of them, and the level's own.
    fn stock(&mut self, mut mouldings: Vec<Value>, files: &[SetupFile]) {
        let from_files = mouldings.len();
        for (index, own) in list(self.level, "mouldings")
            .to_vec()
            .into_iter()
            .enumerate()
        {
            let inner = vec![Step::Key("mouldings"), Step::Index(index)];
            let meant = mouldings[..from_files]
                .iter()
                .position(|one| same_name(one, &own));
            let Some(meant) = meant else {
                let steps = vec![Step::Key("mouldings"), Step::Index(mouldings.len())];
                self.gathered.origins.insert(steps, (None, inner));
                mouldings.push(own);
                continue;
            };
            for key in ["height", "thickness", "profile"] {
                let steps = [inner.as_slice(), &[Step::Key(key)]].concat();
                if matches!(self.own.find(&steps), Found::Value(_)) {
                    self.sized_again(&steps, meant, files);
                    break;
                }
            }
            for key in ["sticks", "offcuts"] {
                for (from, one) in list(&own, key).iter().enumerate() {
                    let all = &mut mouldings[meant][key];
                    if all.is_null() {
                        *all = json!([]);
                    }
                    let Some(all) = all.as_array_mut() else {
                        continue;
                    };
                    let to = [Step::Key("mouldings"), Step::Index(meant)];
                    let more = |index| [Step::Key(key), Step::Index(index)];
                    let steps = [to.as_slice(), &more(all.len())].concat();
                    let origin = [inner.as_slice(), &more(from)].concat();
                    self.gathered.origins.insert(steps, (None, origin));
                    all.push(one.clone());
                }
            }
        }
        self.level["mouldings"] = mouldings.into();
    }

    /// The level gives a file's moulding dimensions of its own.
    fn sized_again(&mut self, steps: &[Step], meant: usize, files: &[SetupFile]) {
        let place = [Step::Key("mouldings"), Step::Index(meant)];
        let first = self.gathered.origins.get(place.as_slice());
        let first = first.and_then(|(file, inner)| {
            let file = files.get((*file)?)?;
            let start = file.places.find(inner).start();
            let (line, _) = position::line_and_column(file.places.text(), start);
            Some(format!("{}:{line}", file.name))
        });
        let expected = format!(
            "sticks and offcuts only: how large this moulding is stands in {}",
            first.unwrap_or_default()
        );
        let example = self.own.example(
            &[Step::Key("mouldings"), Step::Index(0), Step::Key("offcuts")],
            "\"offcuts\": [ 61.25 ]",
        );
        let told = told(self.own, steps, &expected, &example);
        self.gathered.refused.push(told);
    }
}

/// The elements of a list, none where there is none.
pub fn list<'a>(sheet: &'a Value, key: &str) -> &'a [Value] {
    sheet
        .get(key)
        .and_then(Value::as_array)
        .map_or(&[], Vec::as_slice)
}

fn same_name(a: &Value, b: &Value) -> bool {
    let name = |moulding: &Value| {
        let name = moulding["name"].as_str().unwrap_or_default();
        name.trim().to_lowercase()
    };
    name(a) == name(b)
}

fn at<'a>(sheet: &'a Value, steps: &[Step]) -> Option<&'a Value> {
    steps.iter().try_fold(sheet, |value, step| match step {
        Step::Key(key) => value.get(*key),
        Step::Index(index) => value.get(*index),
    })
}

/// Sets the value to which these keys lead; an object that is not there yet is made.
fn put(sheet: &mut Value, steps: &[Step], value: Value) {
    let mut holder = sheet;
    for step in steps {
        let Step::Key(key) = step else {
            return;
        };
        if !holder.is_object() {
            *holder = json!({});
        }
        holder = &mut holder[*key];
    }
    *holder = value;
}
