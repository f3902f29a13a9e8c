//! The cautions, all in one place. They are shown where they apply and no option hides them.

use crate::grain::Allergens;
use crate::planning::plan::Work;
use crate::quantity::Milligrams;

/// From this weight on a tub is heavy. The lower of the two filters of HSE leaflet INDG143, held close at waist height
/// (from memory).
const HEAVY: Milligrams = Milligrams::new(16_000_000);

/// Something a baker is told whenever the number beside it could hurt someone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Beside every date.
    DateIsARule,
    /// Beside grain that is past or unknown.
    BakingRescuesNothing,
    /// Beside every lot that comes in or goes out, and every dough.
    Gluten,
    /// Beside a formula or grist that names them.
    Allergens(Allergens),
    /// Beside what goes by the words of a grist alone.
    CrossContact,
    /// Beside grain that may be hot.
    HotGrain,
    /// Beside a cooling that is calculated ahead.
    ThermometerDecides,
    /// Beside a sample that is dried by heat.
    DryingASample,
    /// Before and beside a sample dried in a microwave.
    DryingInMicrowave,
    /// Before and beside a sample dried in an oven.
    DryingInOven,
    /// Before and beside a sample dried in an air fryer.
    DryingInAirFryer,
    /// Beside grain that is to be dried or was.
    Dryer,
    /// Beside dried or milled grain.
    Dust,
    /// Beside grain that may ferment, and beside rooms that hold grain.
    Gas,
    /// Beside wet grain that is packed.
    AirtightPacks,
    /// Beside grain that comes from a tun.
    CleaningAgents,
    /// Beside what is heavy to lift.
    HeavyTubs,
    /// Beside grain that may be given away.
    FeedIsRegulated,
    /// Beside grain that leaves the bakery for other ends than bread.
    HopsPoisonDogs,
    /// Beside grain that is given away as food.
    FoodForOthers,
    /// Beside every dough.
    RawDough,
    /// Beside every recall.
    Recall,
}

/// What is said of one.
struct Words {
    key: &'static str,
    /// One line; of some it is made of what it is about.
    line: &'static str,
    more: &'static str,
    shown: &'static str,
    source: &'static str,
}

/// A caution is no longer in one line: with the `! ` before it that is [`Caution::WIDTH`].
const LINE: usize = Caution::WIDTH - 2;

/// The short sentence behind a long list of allergens: with it the list fits in one line.
const CHECK_LABELS: &str = "Read labels.";

impl Caution {
    /// Columns that its lines take at most on a terminal, with the `! ` before it.
    pub const WIDTH: usize = 78;

    /// Every caution, of the allergens that with all of them.
    pub const ALL: [Self; 22] = [
        Self::DateIsARule,
        Self::BakingRescuesNothing,
        Self::Gluten,
        Self::Allergens(Allergens::ALL),
        Self::CrossContact,
        Self::HotGrain,
        Self::ThermometerDecides,
        Self::DryingASample,
        Self::DryingInMicrowave,
        Self::DryingInOven,
        Self::DryingInAirFryer,
        Self::Dryer,
        Self::Dust,
        Self::Gas,
        Self::AirtightPacks,
        Self::CleaningAgents,
        Self::HeavyTubs,
        Self::FeedIsRegulated,
        Self::HopsPoisonDogs,
        Self::FoodForOthers,
        Self::RawDough,
        Self::Recall,
    ];

    /// That of allergens, where names of ingredients tell any.
    pub fn of_allergens(allergens: Allergens) -> Option<Self> {
        (!allergens.is_empty()).then_some(Self::Allergens(allergens))
    }

    /// That of a weight, where it is heavy.
    pub fn of_weight(wet: Milligrams) -> Option<Self> {
        (wet >= HEAVY).then_some(Self::HeavyTubs)
    }

    /// Those of such work with so much grain.
    pub fn of_work(work: Work, wet: Milligrams) -> Vec<Self> {
        let own: &[Self] = match work {
            // Packs are closed to freeze and opened before they thaw.
            Work::Freeze | Work::Thaw => &[Self::AirtightPacks],
            Work::Dry => &[Self::Dryer, Self::Dust],
        };
        let mut cautions = [&[Self::DateIsARule], own].concat();
        cautions.extend(Self::of_weight(wet));
        cautions
    }

    /// A short word for files that others read; it stays the same.
    pub const fn as_key(self) -> &'static str {
        self.words().key
    }

    /// The caution in a line; that of many allergens takes two.
    pub fn text(self) -> String {
        match self {
            Self::Allergens(allergens) => {
                let with = |check: &str| format!("Allergens: {allergens}. {check}");
                let (whole, short) = (with(self.words().line), with(CHECK_LABELS));
                let fits = |text: &str| text.chars().count() <= LINE;
                if !fits(&whole) && fits(&short) {
                    short
                } else {
                    whole
                }
            }
            _ => self.words().line.to_owned(),
        }
    }

    /// All that is to be said of it.
    pub const fn more(self) -> &'static str {
        self.words().more
    }

    /// Where it is shown.
    pub const fn shown(self) -> &'static str {
        self.words().shown
    }

    /// Where it comes from.
    pub const fn source(self) -> &'static str {
        self.words().source
    }

    const fn words(self) -> Words {
        match self {
            Self::DateIsARule => Words {
                key: "date-is-a-rule",
                line: "Food law comes first. A date is no proof of safety. In doubt, throw it out.",
                more: "Local food law and the licensed inspector come first: ask what applies to you. No date limit proves that grain is safe, as some bacteria grow in a cold fridge too. When in doubt, throw it out.",
                shown: "with every date and every water sum",
                source: "FDA Food Code 3-501.17 and 3-501.18 for such limits; growth at 5 °C and below: Dufrenne et al. 1994, Int J Food Microbiol 23:99",
            },
            Self::BakingRescuesNothing => Words {
                key: "baking-rescues-nothing",
                line: "Baking does not make spoiled grain safe. Do not taste it to find out.",
                more: "Some toxins stand the heat of the oven: that of Bacillus cereus can form before the grain smells, and those of moulds stay too. Throw away the whole lot, not only the part that shows mould. Do not taste or sniff it.",
                shown: "with grain that is past or unknown",
                source: "Jääskeläinen et al. 2003, J Food Prot 66:1047 (cereulide in bakery products); Mastanjević et al. 2019, Toxins 11:30 (mycotoxins); whole lot: common practice, no source",
            },
            Self::Gluten => Words {
                key: "gluten",
                line: "Allergen: grain of wheat, barley, rye, oats or spelt holds gluten.",
                more: "Barley malt is in nearly every mash, so nearly every lot holds gluten. No bread with it is gluten-free, however small its share. Name the cereal where the law asks for it.",
                shown: "with pickups, gifts, plans and doughs",
                source: "Regulation (EU) No 1169/2011, Annex II, point 1; 21 CFR 101.91(a)",
            },
            Self::Allergens(_) => Words {
                key: "allergens",
                line: "Check every label for more.",
                more: "These are the allergens, other than gluten, that the names of ingredients and malts tell. A name does not tell all that is in it: read the label of each ingredient, and ask the brewery what else was mashed, such as lactose or nuts.",
                shown: "with formulas, doughs, sheets and pickups that name one",
                source: "Regulation (EU) No 1169/2011, Annex II, points 2 to 14; the words that tell them from memory",
            },
            Self::CrossContact => Words {
                key: "cross-contact",
                line: "This goes by grist alone. Ask about cross-contact: tun, mill, tubs, dust.",
                more: "The book knows what was mashed, not what else was in the tun, the mill, the tubs or the air. For somebody with an allergy ask the brewery and clean down first. A bake free of one cereal is no gluten-free bread.",
                shown: "with bakes that are to be free of a cereal, and with traces by grist",
                source: "Codex Alimentarius CXC 80-2020, code of practice on food allergen management (from memory)",
            },
            Self::HotGrain => Words {
                key: "hot-grain",
                line: "Hot grain scalds: insulated gloves, lids on, no loose buckets in a car.",
                more: "Grain comes out of the tun at 65 to 78 °C and stays hot in the middle of a tub for a day. It burns through all layers of the skin in about 30 s at 54 °C, 3 to 5 s at 60 °C and about 1 s at 69 °C; sources differ. Steam and splashes burn too: lift lids away from you.",
                shown: "with grain whose last temperature is 44 °C or more, and where nobody took one in the first two days",
                source: "times: Burn Foundation figures and UTMB, full-thickness burns; from 44 °C: Moritz and Henriques 1947, Am J Pathol 23:695 (from memory)",
            },
            Self::ThermometerDecides => Words {
                key: "thermometer-decides",
                line: "A forecast is no proof: take the temperature in the middle of the grain.",
                more: "The forecast is worked out from depth, air and moisture. Only a thermometer in the middle of the grain shows that it cooled, and in time.",
                shown: "with `cool`",
                source: "docs/models/cooling.md, which says what the forecast leaves out",
            },
            Self::DryingASample => Words {
                key: "drying-a-sample",
                line: "Stay beside a sample that dries. A smell of burning spoils the test.",
                more: "Dry edges char and can catch fire. Once it smells of burning, take the weight before that, or start with new grain. Hot pans burn: use gloves.",
                shown: "before a first sample, and with samples that are to be taken, were put in or weighed",
                source: "University of Alaska Fairbanks FGV-00248 (2020) for the charred sample; fire: Ohio State University 2016 (wayne.osu.edu)",
            },
            Self::DryingInMicrowave => Words {
                key: "drying-in-microwave",
                line: "Microwave: a glass of water beside it, short bursts, no metal or foil.",
                more: "The water takes up what the dry grain no longer does, so that the sample does not ignite: a glass three quarters full in the back corner. First minutes, then bursts of half a minute; stir between them. Use glass or ceramic, as sources disagree on paper plates.",
                shown: "before a first sample, and with samples dried so",
                source: "Ohio State University 2016 (wayne.osu.edu); University of Illinois; University of Alaska Fairbanks FGV-00248 (2020); NFTA 2.1.3 for metal",
            },
            Self::DryingInOven => Words {
                key: "drying-in-oven",
                line: "Oven: about 105 °C, a shallow pan that cannot tip, gloves. No paper inside.",
                more: "Hotter ovens brown the grain, and what browns loses more than water. Let no grain lie on the bottom of the oven. Open the door away from your face: wet grain gives off steam.",
                shown: "before a first sample, and with samples dried so",
                source: "common practice, no source",
            },
            Self::DryingInAirFryer => Words {
                key: "drying-in-air-fryer",
                line: "Air fryer: a wire screen over the grain, 120 °C, nothing near the heater.",
                more: "The fan lifts dry grain into the heater, where it burns: a screen that lies firm keeps it down. The published recipe is for hay, 30 minutes; wet grain takes longer, so weigh until it loses no more.",
                shown: "before a first sample, and with samples dried so",
                source: "Jennings, University of Arkansas extension, 12 May 2022: 100 g under a screen at 250 °F (121 °C) for 30 min; grain in the heater: judgement",
            },
            Self::Dryer => Words {
                key: "dryer",
                line: "Never leave a dryer alone: dry edges char and burn. Spread grain thin.",
                more: "Stay near ovens, dehydrators and tumblers with grain in them, not overnight and not behind a locked door. Keep trays free of crumbs, filters free of dust, and something to put a fire out at hand.",
                shown: "with drying that is planned or done",
                source: "common practice, no source",
            },
            Self::Dust => Words {
                key: "dust",
                line: "Grain dust explodes and causes asthma: no flame, no sparks, no dry sweeping.",
                more: "A cloud of fine dust and one spark are enough. Mill away from flames, earth the mill, and take dust up with a vacuum cleaner for it or a wet cloth. Baker's asthma comes from years of dust: wear a mask.",
                shown: "with dried and milled grain",
                source: "HSE EH40: workplace limit 10 mg/m³ over 8 h for flour dust; explosions: OSHA 29 CFR 1910.272, NFPA 61 (from memory)",
            },
            Self::Gas => Words {
                key: "gas",
                line: "Fermenting grain gives off CO2: air cellars, cold rooms and tubs first.",
                more: "The gas is heavier than air and has no smell. It gathers in cellars, closed cold rooms, cars and tubs and takes the oxygen. Air the room before you go in, do not lean into a tub, leave lids loose: closed ones burst.",
                shown: "with wet grain that is past or unknown and not hot, and when a room for grain is set up",
                source: "NASD d000741 and Penn State Extension on silo gas; that spent grain does the same is inference",
            },
            Self::AirtightPacks => Words {
                key: "airtight-packs",
                line: "No airtight or vacuum packs of wet grain: botulism grows without air.",
                more: "Clostridium botulinum grows without air in wet food that is not acid, and cooking does not kill its spores. Lay lids on loosely. In the freezer bags may be closed: open them before they thaw.",
                shown: "with portions, with gifts and with what is to be frozen or thawed",
                source: "FDA Food Code 3-502.12 and UK FSA guidance on vacuum packing (both from memory); pH above 4.6 and water activity above 0.85: 21 CFR 114 (from memory)",
            },
            Self::CleaningAgents => Words {
                key: "cleaning-agents",
                line: "Ask when the tun was last cleaned: lye or acid left in it burns and poisons.",
                more: "Tuns are cleaned with caustic soda, acids or peracetic acid. Take grain only where the tun was rinsed before the mash, and none that was hosed out with cleaning water. Use tubs that held nothing but food.",
                shown: "with pickups, and before one",
                source: "common practice, no source; clean containers for food: 21 CFR 117.95",
            },
            Self::HeavyTubs => Words {
                key: "heavy-tubs",
                line: "Heavy: smaller tubs, two people or a trolley. Lift close to the body.",
                more: "It is said from 16 kg on, the weight that most people can lift close to the body at waist height. Wet grain slops: fill tubs half, and never lift a hot one above the waist.",
                shown: "with 16 kg or more that come in, go out, move, are treated or are to be fetched",
                source: "HSE INDG143, lower filter at waist height (from memory); NIOSH lifting equation: 23 kg under the best conditions, Waters et al. 1993, Ergonomics 36:749 (from memory)",
            },
            Self::FeedIsRegulated => Words {
                key: "feed-is-regulated",
                line: "Feed law applies. Feed nothing mouldy or foul. Feed never returns as food.",
                more: "Grain given away as feed falls under feed law: ask what applies where you are. Keep it covered and named. Mouldy grain harms animals too. The book knows only what was written, and English words for mould: look at the grain before it goes.",
                shown: "with grain that goes as feed or that no bake takes in time",
                source: "Regulation (EC) No 183/2005; 21 CFR 507.12 and 117.95; mould: common practice, no source",
            },
            Self::HopsPoisonDogs => Words {
                key: "hops-poison-dogs",
                line: "Hops poison dogs: keep hopped grain, trub and bins where no dog gets them.",
                more: "Dogs that ate hops ran a deadly fever. Grain of a hopped mash, trub and used hops are no feed for dogs, and mouldy grain is none for any animal. Close the compost and the bin.",
                shown: "with grain that is thrown away, goes as feed, or that no bake takes in time",
                source: "Duncan, Hare and Buck 1997, J Am Vet Med Assoc 210:51 (from memory)",
            },
            Self::FoodForOthers => Words {
                key: "food-for-others",
                line: "Who gives or sells food answers for it: tell allergens, date and storage.",
                more: "Food law applies to gifts too; ask what it asks where you are. Write down who got it, so that a recall reaches them.",
                shown: "with grain that is given as food",
                source: "Regulation (EC) No 178/2002, Articles 17 to 19",
            },
            Self::RawDough => Words {
                key: "raw-dough",
                line: "Raw flour and raw dough are not safe to taste.",
                more: "Raw flour can hold Salmonella and E. coli. Wash hands and tools after it.",
                shown: "with every dough",
                source: "FDA advice on raw flour and dough",
            },
            Self::Recall => Words {
                key: "recall",
                line: "Recall: local law says whom to tell and how fast. Call the food authority.",
                more: "The trace shows what the book knows: what was never written down is not in it. Stop selling first, then ask the food authority what else is to be done and keep the trace with the papers.",
                shown: "with every trace",
                source: "Regulation (EC) No 178/2002, Articles 18 and 19; 21 CFR part 7 (from memory)",
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// All allergens take two lines.
    #[test]
    fn each_is_a_line() {
        let one = Caution::Allergens(Allergens::named_in("sesame"));
        for caution in Caution::ALL.into_iter().chain([one]) {
            let text = caution.text();
            let lines = 1 + usize::from(caution == Caution::Allergens(Allergens::ALL));
            assert!(
                text.chars().count() <= LINE * lines,
                "{} {text}",
                text.chars().count()
            );
            for words in [caution.more(), caution.shown(), caution.source()] {
                assert!(words.len() > 10, "{caution:?}");
            }
        }
    }

    #[test]
    fn eight_allergens_stay_in_one_line() {
        for (names, expected) in [
            (
                "soya, milk, nuts, celery, mustard",
                "Allergens: soya, milk, nuts, celery, mustard. Check every label for more.",
            ),
            (
                "soya, milk, nuts, celery, mustard, sesame",
                "Allergens: soya, milk, nuts, celery, mustard, sesame. Read labels.",
            ),
            (
                "egg, fish, soya, milk, nuts, mustard, sesame, lupin",
                "Allergens: egg, fish, soya, milk, nuts, mustard, sesame, lupin. Read labels.",
            ),
            (
                "crustaceans, egg, soya, milk, nuts, mustard, sesame, lupin",
                "Allergens: crustaceans, egg, soya, milk, nuts, mustard, sesame, lupin. Check every label for more.",
            ),
        ] {
            let caution = Caution::Allergens(Allergens::named_in(names));
            assert_eq!(caution.text(), expected);
        }
    }

    #[test]
    fn weights_are_heavy_from_the_lower_filter_on() {
        assert_eq!(Caution::of_weight(Milligrams::new(15_999_999)), None);
        assert_eq!(Caution::of_weight(HEAVY), Some(Caution::HeavyTubs));
    }
}
