//! The cautions, all in one place. They are shown where they apply and no option hides them.

/// Something a baker is told whenever the number beside it could hurt someone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Beside every date.
    DateIsARule,
    /// Beside grain that is past or unknown.
    BakingRescuesNothing,
    /// Beside every lot.
    Gluten,
    /// Beside grain that may be hot.
    HotGrain,
    /// Beside a cooling that is reckoned ahead.
    ThermometerDecides,
    /// Beside a moisture test that dries a sample with heat.
    DryingASample,
    /// Beside dried or milled grain.
    Dust,
    /// Beside grain that may be given away.
    FeedIsRegulated,
    /// Beside grain that is given away as food.
    FoodForOthers,
    /// Beside every dough.
    RawDough,
}

impl Caution {
    /// Every caution.
    pub const ALL: [Self; 10] = [
        Self::DateIsARule,
        Self::BakingRescuesNothing,
        Self::Gluten,
        Self::HotGrain,
        Self::ThermometerDecides,
        Self::DryingASample,
        Self::Dust,
        Self::FeedIsRegulated,
        Self::FoodForOthers,
        Self::RawDough,
    ];

    /// A short word for files that others read; it stays the same.
    pub const fn as_key(self) -> &'static str {
        match self {
            Self::DateIsARule => "date-is-a-rule",
            Self::BakingRescuesNothing => "baking-rescues-nothing",
            Self::Gluten => "gluten",
            Self::HotGrain => "hot-grain",
            Self::ThermometerDecides => "thermometer-decides",
            Self::DryingASample => "drying-a-sample",
            Self::Dust => "dust",
            Self::FeedIsRegulated => "feed-is-regulated",
            Self::FoodForOthers => "food-for-others",
            Self::RawDough => "raw-dough",
        }
    }

    /// The caution in one or two sentences.
    pub const fn text(self) -> &'static str {
        match self {
            Self::DateIsARule => {
                "Local food law and the licensed inspector come first. A date limit is a rule, not proof of safety: when in doubt, throw it out."
            }
            Self::BakingRescuesNothing => {
                "Baking does not make spoiled grain safe: some toxins stand the heat of the oven. Do not taste to find out."
            }
            Self::Gluten => "Grain from wheat, barley, rye, oats or spelt holds gluten.",
            Self::HotGrain => {
                "Hot grain scalds: insulated gloves, lids on, no loose buckets in a car."
            }
            Self::ThermometerDecides => {
                "Reckoned ahead, and no proof: only a thermometer in the middle of the grain shows that it cooled, and in time."
            }
            Self::DryingASample => {
                "Drying a sample in a microwave or oven: a glass of water in it, short bursts near the end, no metal in a microwave, and somebody beside it. A smell of burning spoils the test."
            }
            Self::Dust => {
                "Dust of dry grain can explode and causes asthma: no flame or sparks near milling, no dry sweeping."
            }
            Self::FeedIsRegulated => {
                "Grain given away as feed falls under feed law: ask what applies where you are (in the EU Regulation (EC) No 183/2005, in the US 21 CFR 507.12). What has gone as feed never comes back as food."
            }
            Self::FoodForOthers => {
                "Who gives or sells food answers for it: tell allergens, date and storage. Food law applies, ask what it asks where you are."
            }
            Self::RawDough => "Raw flour and raw dough are not safe to taste.",
        }
    }
}
