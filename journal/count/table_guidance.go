package count

import "fairmeasure/journal/unit"

// Source: the bodies named in each row; collected in testdata/reference/low_risk_guidance.csv, checked in November 2026.
// Edition: the year of each row. Units: the limit in units of the row's own unit and in milligrams of ethanol. Range: all
// rows of the file in force, 66 of 83; superseded rows are left out. Interpolation: none.
// Checked: TestGuidance compares every field with the file.
var guidance = []Guideline{
	{"GB", "adults", limit(14, 110500), "unit", PerWeek, AtMost, Current, 2016, 3, "UK Chief Medical Officers Low Risk Drinking Guidelines (published 25 Aug 2016)"},
	{"GB", "adults", none, "unit", PerOccasion, NoNumber, Current, 2016, 0, "UK Chief Medical Officers Low Risk Drinking Guidelines (published 25 Aug 2016); Government response to consultation, Aug 2016"},
	{"GB", "pregnant or may become pregnant", limit(0, 0), "unit", Ever, AtMost, Current, 2016, 0, "UK Chief Medical Officers Low Risk Drinking Guidelines (published 25 Aug 2016)"},
	{"AU", "adults", limit(10, 100000), "standard drink", PerWeek, AtMost, Current, 2020, 0, "NHMRC, Australian Guidelines to Reduce Health Risks from Drinking Alcohol, 2020 (DS14); AIHW, Measuring risky drinking"},
	{"AU", "adults", limit(4, 40000), "standard drink", PerDay, AtMost, Current, 2020, 0, "NHMRC, Australian Guidelines to Reduce Health Risks from Drinking Alcohol, 2020 (DS14)"},
	{"AU", "under 18", limit(0, 0), "standard drink", Ever, AtMost, Current, 2020, 0, "NHMRC, Australian Guidelines to Reduce Health Risks from Drinking Alcohol, 2020 (DS14)"},
	{"AU", "pregnant or planning", limit(0, 0), "standard drink", Ever, AtMost, Current, 2020, 0, "NHMRC, Australian Guidelines to Reduce Health Risks from Drinking Alcohol, 2020 (DS14)"},
	{"AU", "breastfeeding", limit(0, 0), "standard drink", Ever, AtMost, Current, 2020, 0, "NHMRC, Australian Guidelines to Reduce Health Risks from Drinking Alcohol, 2020 (DS14)"},
	{"NZ", "women", limit(10, 100000), "standard drink", PerWeek, AtMost, CurrentDated, 2011, 0, "Health NZ (formerly Te Hiringa Hauora / HPA), Low-risk alcohol drinking advice"},
	{"NZ", "women", limit(2, 20000), "standard drink", PerDay, AtMost, CurrentDated, 2011, 0, "Health NZ (formerly Te Hiringa Hauora / HPA), Low-risk alcohol drinking advice"},
	{"NZ", "women", limit(4, 40000), "standard drink", PerOccasion, AtMost, CurrentDated, 2011, 0, "Health NZ (formerly Te Hiringa Hauora / HPA), Low-risk alcohol drinking advice"},
	{"NZ", "men", limit(15, 150000), "standard drink", PerWeek, AtMost, CurrentDated, 2011, 0, "Health NZ (formerly Te Hiringa Hauora / HPA), Low-risk alcohol drinking advice"},
	{"NZ", "men", limit(3, 30000), "standard drink", PerDay, AtMost, CurrentDated, 2011, 0, "Health NZ (formerly Te Hiringa Hauora / HPA), Low-risk alcohol drinking advice"},
	{"NZ", "men", limit(5, 50000), "standard drink", PerOccasion, AtMost, CurrentDated, 2011, 0, "Health NZ (formerly Te Hiringa Hauora / HPA), Low-risk alcohol drinking advice"},
	{"IE", "women", limit(11, 110000), "standard drink", PerWeek, AtMost, UnderReview, 2015, 0, "HSE, Weekly low-risk alcohol guidelines"},
	{"IE", "men", limit(17, 170000), "standard drink", PerWeek, AtMost, UnderReview, 2015, 0, "HSE, Weekly low-risk alcohol guidelines"},
	{"IE", "adults", limit(6, 60000), "standard drink", PerOccasion, AtMost, UnderReview, 2015, 0, "HSE, Weekly low-risk alcohol guidelines"},
	{"CA", "adults", limit(0, 0), "standard drink", PerWeek, BandLow, Current, 2023, 0, "CCSA, Canada's Guidance on Alcohol and Health: Final Report (17 Jan 2023)"},
	{"CA", "adults", limit(2, 26900), "standard drink", PerWeek, BandHigh, Current, 2023, 0, "CCSA, Canada's Guidance on Alcohol and Health: Final Report (17 Jan 2023)"},
	{"CA", "adults", limit(6, 80700), "standard drink", PerWeek, BandHigh, Current, 2023, 0, "CCSA, Canada's Guidance on Alcohol and Health: Final Report (17 Jan 2023)"},
	{"CA", "adults", limit(7, 94100), "standard drink", PerWeek, BandLow, Current, 2023, 0, "CCSA, Canada's Guidance on Alcohol and Health: Final Report (17 Jan 2023)"},
	{"CA", "adults", limit(2, 26900), "standard drink", PerOccasion, AtMost, Current, 2023, 0, "CCSA, Canada's Guidance on Alcohol and Health: Final Report (17 Jan 2023)"},
	{"US", "adults", none, "standard drink", NoPeriod, NoNumber, Current, 2026, 0, "USDA/HHS, Dietary Guidelines for Americans 2025-2030 (7 Jan 2026)"},
	{"US", "pregnant; in recovery from or unable to control alcohol use; taking medicines or with conditions that interact", limit(0, 0), "standard drink", Ever, AtMost, Current, 2026, 0, "USDA/HHS, Dietary Guidelines for Americans 2025-2030 (7 Jan 2026)"},
	{"US", "women", limit(4, 56000), "standard drink", PerTwoHours, AtLeast, Definition, 2025, 0, "NIAAA, Understanding Alcohol Drinking Patterns (page read 2025 wording)"},
	{"US", "men", limit(5, 70000), "standard drink", PerTwoHours, AtLeast, Definition, 2025, 0, "NIAAA, Understanding Alcohol Drinking Patterns (page read 2025 wording)"},
	{"US", "women", limit(8, 112000), "standard drink", PerWeek, AtLeast, Definition, 2025, 0, "NIAAA / CDC heavy drinking definition"},
	{"US", "men", limit(15, 210000), "standard drink", PerWeek, AtLeast, Definition, 2025, 0, "NIAAA / CDC heavy drinking definition"},
	{"FR", "adults", limit(10, 100000), "verre standard", PerWeek, AtMost, Current, 2017, 0, "Sante publique France / INCa, Avis d'experts (4 May 2017); campaign of March 2019"},
	{"FR", "adults", limit(2, 20000), "verre standard", PerDay, AtMost, Current, 2017, 0, "Sante publique France / INCa, Avis d'experts (4 May 2017); campaign of March 2019"},
	{"DE", "adults", limit(0, 0), "g", PerWeek, BandHigh, Current, 2024, 0, "DGE (German Nutrition Society), Positionspapier Alkohol, Aug 2024"},
	{"DE", "adults", limit(27, 27000), "g", PerWeek, LessThan, Current, 2024, 0, "DGE (German Nutrition Society), Positionspapier Alkohol, Aug 2024"},
	{"DE", "adults", limit(81, 81000), "g", PerWeek, BandHigh, Current, 2024, 0, "DGE (German Nutrition Society), Positionspapier Alkohol, Aug 2024"},
	{"NL", "adults", limit(1, 10000), "standaardglas", PerDay, AtMost, UnderReview, 2015, 0, "Gezondheidsraad, Richtlijnen goede voeding 2015 (nr. 2015/24); Trimbos-instituut"},
	{"DK", "adults 18+", limit(10, 120000), "genstand", PerWeek, AtMost, Current, 2022, 0, "Sundhedsstyrelsen, Notat: udmeldinger om indtag af alkohol (7 Mar 2022, v1.2 26 May 2023)"},
	{"DK", "adults 18+", limit(4, 48000), "genstand", PerDay, AtMost, Current, 2022, 0, "Sundhedsstyrelsen, Notat: udmeldinger om indtag af alkohol (7 Mar 2022, v1.2 26 May 2023)"},
	{"DK", "under 18; pregnant or trying", limit(0, 0), "genstand", Ever, AtMost, Current, 2022, 0, "Sundhedsstyrelsen, Notat: udmeldinger om indtag af alkohol (7 Mar 2022, v1.2 26 May 2023)"},
	{"SE", "adults", limit(10, 120000), "standardglas", PerWeek, AtLeast, Clinical, 2023, 0, "Socialstyrelsen, new limits for risk use of alcohol (12 Sep 2023)"},
	{"SE", "adults", limit(4, 48000), "standardglas", PerOccasion, AtLeast, Clinical, 2023, 0, "Socialstyrelsen, new limits for risk use of alcohol (12 Sep 2023)"},
	{"NORDIC", "adults", limit(0, 0), "g", Ever, NoNumber, Current, 2023, 0, "Nordic Nutrition Recommendations 2023 (Nordic Council of Ministers)"},
	{"NO", "adults", limit(0, 0), "g", PerDay, NoNumber, Current, 2023, 0, "Helsedirektoratet reference values 2023; kostrad 2024"},
	{"FI", "women", limit(7, 84000), "alkoholiannos", PerWeek, RiskLevel, Current, 2023, 0, "Finnish risk levels (Kaypa hoito; Alko and A-Clinic pages, 2023)"},
	{"FI", "men", limit(14, 168000), "alkoholiannos", PerWeek, RiskLevel, Current, 2023, 0, "Finnish risk levels (Kaypa hoito; Alko and A-Clinic pages, 2023)"},
	{"FI", "over 65", limit(7, 84000), "alkoholiannos", PerWeek, RiskLevel, Current, 2023, 0, "Finnish risk levels (Kaypa hoito; Alko and A-Clinic pages, 2023)"},
	{"CH", "men", limit(2, 20000), "Standardglas", PerDay, AtMost, CurrentDated, 2018, 0, "EKAL, Orientierungshilfe zum Alkoholkonsum (July 2018)"},
	{"CH", "women", limit(1, 10000), "Standardglas", PerDay, AtMost, CurrentDated, 2018, 0, "EKAL, Orientierungshilfe zum Alkoholkonsum (July 2018)"},
	{"ES", "men", limit(20, 20000), "g", PerDay, AtMost, Current, 2020, 0, "Ministerio de Sanidad, Limites de Consumo de Bajo Riesgo de Alcohol (2020)"},
	{"ES", "women", limit(10, 10000), "g", PerDay, AtMost, Current, 2020, 0, "Ministerio de Sanidad, Limites de Consumo de Bajo Riesgo de Alcohol (2020)"},
	{"IT", "men", limit(2, 24000), "unita alcolica", PerDay, AtMost, Current, 2018, 0, "CREA, Linee guida per una sana alimentazione (2018), as used by the Ministero della Salute"},
	{"IT", "women", limit(1, 12000), "unita alcolica", PerDay, AtMost, Current, 2018, 0, "CREA, Linee guida per una sana alimentazione (2018), as used by the Ministero della Salute"},
	{"IT", "over 65", limit(1, 12000), "unita alcolica", PerDay, AtMost, Current, 2018, 0, "CREA, Linee guida per una sana alimentazione (2018), as used by the Ministero della Salute"},
	{"IT", "under 18", limit(0, 0), "unita alcolica", Ever, AtMost, Current, 2018, 0, "CREA, Linee guida per una sana alimentazione (2018), as used by the Ministero della Salute"},
	{"JP", "men", limit(40, 40000), "g", PerDay, AtLeast, Definition, 2024, 0, "MHLW, Guidelines on drinking with attention to health (19 Feb 2024)"},
	{"JP", "women", limit(20, 20000), "g", PerDay, AtLeast, Definition, 2024, 0, "MHLW, Guidelines on drinking with attention to health (19 Feb 2024)"},
	{"JP", "adults", limit(60, 60000), "g", PerOccasion, AtLeast, Definition, 2024, 0, "MHLW, Guidelines on drinking with attention to health (19 Feb 2024)"},
	{"AT", "men", limit(24, 24000), "g", PerDay, AtMost, CurrentDated, 2018, 0, "Austrian Federal Ministry of Health thresholds as quoted by prevention material"},
	{"AT", "women", limit(16, 16000), "g", PerDay, AtMost, CurrentDated, 2018, 0, "Austrian Federal Ministry of Health thresholds as quoted by prevention material"},
	{"PL", "men", limit(40, 40000), "g", PerDay, AtMost, CurrentDated, 2008, 0, "PARPA low-risk drinking limits (campaign material)"},
	{"PL", "women", limit(20, 20000), "g", PerDay, AtMost, CurrentDated, 2008, 0, "PARPA low-risk drinking limits (campaign material)"},
	{"BE", "adults", limit(10, 100000), "standaardglas", PerWeek, AtMost, Current, 2018, 0, "Superior Health Council of Belgium (June 2018)"},
	{"KR", "men", limit(40, 40000), "g", PerOccasion, AtMost, CurrentDated, 2013, 0, "Korea Health Promotion Foundation, low-risk drinking guideline (Nov 2013)"},
	{"KR", "women", limit(20, 20000), "g", PerOccasion, AtMost, CurrentDated, 2013, 0, "Korea Health Promotion Foundation, low-risk drinking guideline (Nov 2013)"},
	{"HK", "men", limit(2, 20000), "alcohol unit", PerDay, AtMost, CurrentDated, 2020, 0, "Hong Kong health education material (Department of Health figures quoted by CUHK)"},
	{"HK", "women", limit(1, 10000), "alcohol unit", PerDay, AtMost, CurrentDated, 2020, 0, "Hong Kong health education material (Department of Health figures quoted by CUHK)"},
	{"BR", "adults", none, "g", NoPeriod, NoNumber, Current, 2024, 0, "Ministerio da Saude, Nota Tecnica Conjunta 263/2024"},
	{"WHO", "everyone", none, "g", NoPeriod, NoNumber, Current, 2023, 0, "WHO Europe, No level of alcohol consumption is safe for our health (4 Jan 2023)"},
}

var none = unit.Maybe[Limit]{}

func limit(units, milligrams int64) unit.Maybe[Limit] {
	return unit.Known(Limit{units, milligrams})
}
