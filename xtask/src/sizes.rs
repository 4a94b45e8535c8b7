//! Files small enough to hold in the head.

use std::path::Path;

/// Lines a source file may have, its tests at the foot left out.
const LONGEST: usize = 450;

pub(crate) fn check(root: &Path) -> anyhow::Result<Vec<String>> {
    let mut problems = Vec::new();
    for folder in ["crates", "src", "xtask"] {
        look(&root.join(folder), &mut problems)?;
    }
    Ok(problems)
}

fn look(folder: &Path, problems: &mut Vec<String>) -> anyhow::Result<()> {
    for item in std::fs::read_dir(folder)? {
        let path = item?.path();
        if path.is_dir() {
            look(&path, problems)?;
        } else if path.extension().is_some_and(|e| e == "rs") {
            let source = std::fs::read_to_string(&path)?;
            let lines = source
                .lines()
                .take_while(|l| !l.starts_with("#[cfg(test)]"))
                .count();
            if lines > LONGEST && !path.components().any(|c| c.as_os_str() == "tests") {
                problems.push(format!(
                    "{} has {lines} lines; {LONGEST} are allowed",
                    path.display()
                ));
            }
        }
    }
    Ok(())
}
