//! Identities. Every one is a UUIDv7 made by whoever writes the record (RFC 9562), so that writing
//! the same record twice is recognised.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;
use uuid::Uuid;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub Uuid);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl FromStr for $name {
            type Err = uuid::Error;
            fn from_str(s: &str) -> Result<Self, Self::Err> {
                Uuid::parse_str(s.trim()).map($name)
            }
        }
    };
}

id!(
    /// A trial.
    TrialId
);
id!(
    /// A tank of a trial.
    TankId
);
id!(
    /// A planting: one lot of one plant in one tank.
    PlantingId
);
id!(
    /// An entry: also its idempotency key.
    EntryId
);
id!(
    /// A walk-round.
    WalkId
);
id!(
    /// A paired device, such as the phone at the tanks.
    DeviceId
);
id!(
    /// A colour card.
    CardId
);
id!(
    /// A fertiliser, stock solution, tablet or food with its stated composition.
    ProductId
);
id!(
    /// A source water.
    WaterId
);
id!(
    /// A planned change or routine.
    PlanId
);
id!(
    /// A piece of equipment or a consumable.
    EquipmentId
);
