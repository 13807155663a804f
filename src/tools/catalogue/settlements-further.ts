/** Settlements for the further objects; the sources and the form are those of settlements-messier-caldwell.ts. */
export const furtherSettlements = `
NGC2146|position|94.6571 78.3570|second: first has a faint neighbour under this number
NGC1647|position|71.479 19.115|first: both near the middle of 40 arc minutes
NGC5822|position|226.087 -54.397|first within 1.2 arc minutes; centre of the members, from memory
NGC6281|position|256.171 -37.985|first: the members' middle; second is 6 arc minutes north of it
NGC6633|position|276.88 6.57|first: the members' middle, the brighter stars lie south-west of it
NGC6709|position|282.825 10.318|first: the members' middle
NGC6871|position|301.496 35.777|first: the members' middle; second is the eastern pair of bright stars
NGC7686|position|352.5304 49.1342|second: at the sixth-magnitude star that marks the group
IC4756|position|279.65 5.45|between the two, in a cluster 45 arc minutes wide
Mel20|position|51.08 49.86|second: at Mirfak, the brightest member; first is the middle of a wider group
Mel111|position|186.28 26.1|second: the middle of the bright stars; first is the middle of a wider group
NGC281|position|13.2242 56.625|second: the cluster IC 1590 in its middle
NGC1499|position|60.825 36.422|first: the middle of a nebula 160 arc minutes long
NGC2174|position|92.4130 20.487|first: the star that lights the nebula; second is its bright western knot
NGC3199|position|154.1367 -57.9339|first: the bright western arc
NGC3576|position|167.9575 -61.3039|first: the bright core
NGC3576|size|12|the bright core; first counts the faint outer loops
NGC2024|size|30|second; first counts the surrounding cloud
NGC6357|position|261.1812 -34.2014|second: at the cluster Pismis 24, which lights it
NGC6559|position|272.5 -24.1|second, within 1 arc minute; first is rounded
NGC7822|position|0.9 67.15|second: the bright pillars
IC434|position|85.246 -2.458|second, within 1 arc minute: where the Horsehead stands against it
IC1318|position|305.5571 40.2567|second: at Sadr; the nebula is several degrees wide
IC1795|position|36.4313 62.1036|first: the bright middle
IC4628|position|254.25 -40.4567|second: the bright middle
IC410|position|80.6875 33.4133|second: at the cluster NGC 1893 in its middle
NGC1333|position|52.325 31.4167|second: the bright part, at the star that lights it
NGC1432|position|56.4562 24.3683|second: at Maia, the star that lights it
NGC1435|position|56.5417 23.765|second: the bright part, south of Merope
NGC2170|position|91.8804 -6.3981|second: at the star that lights it; first is rounded
NGC6914|position|306.1792 42.4833|second: the bright part; first is rounded
IC59|position|14.3688 61.1436|second: the bright rim
IC63|position|14.8708 60.9111|second: the bright rim
IC2118|position|76.225 -7.25|second: the middle of three degrees of nebulosity; first is rounded
IC4592|position|242.9983 -19.4597|second: at Nu Scorpii, the star that lights it
IC4604|position|246.396 -23.447|second, within 1 arc minute: at Rho Ophiuchi, the star that lights it
IC443|position|94.5113 22.66|first: the bright north-eastern rim
NGC404|magnitude|10.3|second, in the visual band; first is blue or of the nucleus
NGC488|magnitude|10.3|second, in the visual band; first is blue or of the nucleus
NGC524|magnitude|10.2|second, in the visual band; first is blue or of the nucleus
NGC613|magnitude|10.1|second, in the visual band; first is blue or of the nucleus
NGC936|magnitude|10.2|second, in the visual band; first is blue or of the nucleus
NGC1313|magnitude|8.7|second, in the visual band; first is blue or of the nucleus
NGC1395|magnitude|9.6|second, in the visual band; first is blue or of the nucleus
NGC1398|magnitude|9.7|second, in the visual band; first is blue or of the nucleus
NGC1532|magnitude|9.9|second, in the visual band; first is blue or of the nucleus
NGC1637|magnitude|10.8|second, in the visual band; first is blue or of the nucleus
NGC2146|magnitude|10.6|second, in the visual band; first is blue or of the nucleus
NGC2685|magnitude|11.3|second, in the visual band; first is blue or of the nucleus
NGC3109|magnitude|9.9|second, in the visual band; first is blue or of the nucleus
NGC3166|magnitude|10.4|second, in the visual band; first is blue or of the nucleus
NGC3169|magnitude|10.2|second, in the visual band; first is blue or of the nucleus
NGC3310|magnitude|10.8|second, in the visual band; first is blue or of the nucleus
NGC3607|magnitude|9.9|second, in the visual band; first is blue or of the nucleus
NGC3675|magnitude|10.2|second, in the visual band; first is blue or of the nucleus
NGC3726|magnitude|10.4|second, in the visual band; first is blue or of the nucleus
NGC3953|magnitude|10.1|second, in the visual band; first is blue or of the nucleus
NGC4051|magnitude|10.2|second, in the visual band; first is blue or of the nucleus
NGC4088|magnitude|10.6|second, in the visual band; first is blue or of the nucleus
NGC4151|magnitude|10.8|second, in the visual band; first is blue or of the nucleus
NGC4365|magnitude|9.6|second, in the visual band; first is blue or of the nucleus
NGC4429|magnitude|10|second, in the visual band; first is blue or of the nucleus
NGC4526|magnitude|9.3|second, in the visual band; first is blue or of the nucleus
NGC4636|magnitude|9.5|second, in the visual band; first is blue or of the nucleus
NGC4666|magnitude|10.7|second, in the visual band; first is blue or of the nucleus
NGC4696|magnitude|10.4|second, in the visual band; first is blue or of the nucleus
NGC4699|magnitude|9.5|second, in the visual band; first is blue or of the nucleus
NGC4725|magnitude|9.4|second, in the visual band; first is blue or of the nucleus
NGC5033|magnitude|10.2|second, in the visual band; first is blue or of the nucleus
NGC5746|magnitude|10.3|second, in the visual band; first is blue or of the nucleus
NGC5846|magnitude|10|second, in the visual band; first is blue or of the nucleus
NGC6384|magnitude|10.4|second, in the visual band; first is blue or of the nucleus
NGC6503|magnitude|10.2|second, in the visual band; first is blue or of the nucleus
NGC7217|magnitude|10.1|second, in the visual band; first is blue or of the nucleus
NGC7332|magnitude|11.1|second, in the visual band; first is blue or of the nucleus
NGC7606|magnitude|10.8|second, in the visual band; first is blue or of the nucleus
IC10|magnitude|10.4|second, in the visual band; first is blue or of the nucleus
NGC869|magnitude|5.3|second: this cluster alone; first has one figure for both
NGC884|magnitude|6.1|second: this cluster alone; first has one figure for both
NGC2808|magnitude|6.2|second, as lists of globular clusters have it
NGC5053|magnitude|9|second, as lists of globular clusters have it
NGC5634|magnitude|9.5|second, as lists of globular clusters have it
NGC5927|magnitude|8|second, as lists of globular clusters have it
NGC5986|magnitude|7.6|second, as lists of globular clusters have it
NGC6144|magnitude|9|second, as lists of globular clusters have it
NGC6304|magnitude|8.3|second, as lists of globular clusters have it
NGC6316|magnitude|8.1|second, as lists of globular clusters have it
NGC6356|magnitude|8.2|second, as lists of globular clusters have it
NGC6362|magnitude|8.1|second, as lists of globular clusters have it
NGC6440|magnitude|9.3|second, as lists of globular clusters have it
NGC6441|magnitude|7.2|second, as lists of globular clusters have it
NGC6528|magnitude|9.6|second, as lists of globular clusters have it
NGC6544|magnitude|7.5|second, as lists of globular clusters have it
NGC6569|magnitude|8.4|second, as lists of globular clusters have it
NGC6624|magnitude|7.6|second, as lists of globular clusters have it
NGC6652|magnitude|8.5|second, as lists of globular clusters have it
NGC6712|magnitude|8.1|second, as lists of globular clusters have it
NGC6717|magnitude|8.4|second, as lists of globular clusters have it
NGC6723|magnitude|6.8|second, as lists of globular clusters have it
NGC6760|magnitude|9|second, as lists of globular clusters have it
NGC7492|magnitude|11.2|second, as lists of globular clusters have it
IC4499|magnitude|10.1|second, as lists of globular clusters have it
NGC1360|magnitude|9.4|second: the nebula in the visual band; first is the central star or another band
NGC1501|magnitude|11.5|second: the nebula in the visual band; first is the central star or another band
NGC1514|magnitude|10.9|second: the nebula in the visual band; first is the central star or another band
NGC1535|magnitude|9.6|second: the nebula in the visual band; first is the central star or another band
NGC2022|magnitude|11.6|second: the nebula in the visual band; first is the central star or another band
NGC2371|magnitude|11.2|second: the nebula in the visual band; first is the central star or another band
NGC2438|magnitude|10.8|second: the nebula in the visual band; first is the central star or another band
NGC2440|magnitude|9.4|second: the nebula in the visual band; first is the central star or another band
NGC2818|magnitude|11.2|second: the nebula in the visual band; first is the central star or another band
NGC4361|magnitude|10.9|second: the nebula in the visual band; first is the central star or another band
NGC5189|magnitude|9.9|second: the nebula in the visual band; first is the central star or another band
NGC5315|magnitude|9.8|second: the nebula in the visual band; first is the central star or another band
NGC5882|magnitude|9.4|second: the nebula in the visual band; first is the central star or another band
NGC6153|magnitude|10.9|second: the nebula in the visual band; first is the central star or another band
NGC6210|magnitude|8.8|second: the nebula in the visual band; first is the central star or another band
NGC6369|magnitude|11.4|second: the nebula in the visual band; first is the central star or another band
NGC6445|magnitude|11.2|second: the nebula in the visual band; first is the central star or another band
NGC6537|magnitude|11.6|second: the nebula in the visual band; first is the central star or another band
NGC6563|magnitude|11|second: the nebula in the visual band; first is the central star or another band
NGC6572|magnitude|8.1|second: the nebula in the visual band; first is the central star or another band
NGC6629|magnitude|11.3|second: the nebula in the visual band; first is the central star or another band
NGC6741|magnitude|11.5|second: the nebula in the visual band; first is the central star or another band
NGC6751|magnitude|11.9|second: the nebula in the visual band; first is the central star or another band
NGC6803|magnitude|11.4|second: the nebula in the visual band; first is the central star or another band
NGC6804|magnitude|12|second: the nebula in the visual band; first is the central star or another band
NGC6891|magnitude|10.5|second: the nebula in the visual band; first is the central star or another band
NGC6905|magnitude|11.1|second: the nebula in the visual band; first is the central star or another band
NGC7008|magnitude|10.7|second: the nebula in the visual band; first is the central star or another band
NGC7026|magnitude|10.9|second: the nebula in the visual band; first is the central star or another band
NGC7027|magnitude|8.5|second: the nebula in the visual band; first is the central star or another band
NGC7354|magnitude|12.2|second: the nebula in the visual band; first is the central star or another band
IC418|magnitude|9.3|second: the nebula in the visual band; first is the central star or another band
IC1747|magnitude|12|second: the nebula in the visual band; first is the central star or another band
IC2003|magnitude|11.4|second: the nebula in the visual band; first is the central star or another band
IC4406|magnitude|10.2|second: the nebula in the visual band; first is the central star or another band
IC4997|magnitude|10.5|second: the nebula in the visual band; first is the central star or another band
IC5148|magnitude|11|second: the nebula in the visual band; first is the central star or another band
IC5217|magnitude|11.3|second: the nebula in the visual band; first is the central star or another band
`;
