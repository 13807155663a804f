/**
 * Settlements for Messier and Caldwell objects. "First" is d3-celestial, "second" Siril's tables or memory (see
 * second-source.ts); a figure that is neither source's own is from memory.
 */
export const messierCaldwellSettlements = `
M8|type|cluster with nebula|first calls it a star-forming region: the nebula and the open cluster NGC 6530 together
M16|type|cluster with nebula|first calls it a star-forming region: NGC 6611 is the cluster, IC 4703 the nebula around it
M17|magnitude|6.0|second; first's other table has 6 as well, and 7 is an older photographic figure
M20|magnitude|6.3|second; first's other table has 6.3 as well, and 8.5 counts the brightest part alone
M24|position|274.2 -18.55|second: the middle of the 90 arc-minute star cloud IC 4715; first is a rounded position
M40|magnitude|9.1|both stars together: 9.65 (second gives only the brighter) and 10.1; first's 8 is too bright for the two
M40|type|double star|the pair Winnecke 4; first marks it as a position only
M45|position|56.75 24.117|first, both its tables: the cluster is 110 arc minutes wide and Alcyone lies 7 arc minutes east
M50|position|105.728 -8.365|centre of the members' positions in recent astrometry, from memory; both sources are within 3 arc minutes of it
M52|position|351.2 61.593|first: second has lost the sign's sense, the cluster is in Cassiopeia and so north of the equator
M73|magnitude|9.0|second: the four stars together; first's 10 is the brightest star alone
M77|magnitude|8.8|first; second has none
M78|position|86.6903 0.0792|the brightest part, at the two stars that light it, from memory; second agrees within 1 arc minute
M87|position|187.7059 12.3911|second and first's Messier table: in its deep-sky table another galaxy stands under this number
M87|magnitude|8.6|first; second has none
M94|magnitude|8.1|first; second has none
M98|position|183.4512 14.9004|second and first's Messier table: in its deep-sky table another galaxy stands under this number
M102|position|226.6232 55.7632|second and first's Messier table: M102 is taken to be NGC 5866, as most lists do; first's deep-sky table has a fainter galaxy under that number
M102|magnitude|9.9|first: NGC 5866 in the visual band; 10.7 is its blue magnitude
C2|magnitude|11.6|between the two: 10.7 is photographic with the nebular lines, 12.3 the continuum; from memory
C3|magnitude|9.6|second, in the visual band; first is blue
C4|type|reflection nebula|first says only that it is bright; it shines by the light of the star HD 200775
C5|magnitude|8.4|second, in the visual band; first is blue
C9|position|344.18 62.618|second, with the bright rim of the cave; first gives the middle of the wider nebula
C12|magnitude|8.8|second, in the visual band; first is blue
C14|position|35.12 57.13|midway between NGC 869 and NGC 884, since this entry means both; first gives NGC 869
C14|size|60|both clusters side by side
C19|type|cluster with nebula|first calls it a star-forming region: a young cluster inside its nebula
C20|position|314.821 44.529|second, the brighter eastern half of a nebula two degrees wide
C20|magnitude|4.0|first and memory; an estimate of the whole
C24|magnitude|11.9|second, in the visual band; first is blue
C25|magnitude|10.3|second; first is too bright for a cluster at this distance (10.4 in lists of globular clusters, from memory)
C28|position|29.421 37.785|first: the cluster is 75 arc minutes wide, both lie near its middle
C29|magnitude|9.8|second; first's figure is that of the nucleus
C31|position|79.1225 34.3561|second: the bright part near AE Aurigae, the star that lights it
C33|size|60|the eastern arc; first gives the whole loop
C34|size|70|the western arc; first gives the whole loop
C36|position|188.9902 27.96|second: first has a faint neighbour under this number
C36|magnitude|10.0|second: first has a faint neighbour under this number
C37|position|303.004 26.478|first: at 20 Vulpeculae, in the cluster's middle; second is NGC 6882 beside it
C38|position|189.0866 25.9877|second: first has a faint neighbour under this number
C38|magnitude|9.6|second: first has a faint neighbour under this number
C39|magnitude|9.1|second, in the visual band
C43|magnitude|10.6|second, in the visual band; first is blue
C45|magnitude|10.3|second, in the visual band; first is blue
C49|position|97.98 5.0|the middle of the whole ring of nebulosity, from memory; the sources give two bright patches on its western side
C50|position|97.979 4.942|first; second is the foreground star 12 Monocerotis
C52|magnitude|9.2|second, in the visual band
C53|magnitude|8.9|second, in the visual band; first is blue
C56|magnitude|10.9|second: the nebula; first is the central star
C57|magnitude|8.7|second, in the visual band; first is brighter than most lists have it
C59|magnitude|7.7|second, in the visual band
C60|magnitude|10.3|second, in the visual band; first is blue
C61|magnitude|10.3|second, in the visual band; first is blue
C65|magnitude|7.2|second, in the visual band; first is blue
C66|magnitude|10.2|second, as lists of globular clusters have it
C68|type|reflection nebula|first says only that it is bright; it shines by the light of the star R Coronae Australis
C69|magnitude|9.6|second, in the visual band; first is too bright for it
C72|position|3.7233 -39.1966|first: the galaxy's nucleus; second is the middle of its outer light, 32 arc minutes long
C74|magnitude|9.2|second: the nebula; first is the star in it
C78|magnitude|6.3|second, as lists of globular clusters have it; first is blue
C79|magnitude|6.9|second, as lists of globular clusters have it; first is blue
C81|magnitude|7.8|second, as lists of globular clusters have it; first is blue
C83|magnitude|8.4|second, in the visual band; first is blue
C84|magnitude|7.4|second, as lists of globular clusters have it; first is blue
C85|position|130.133 -53.033|first: the cluster's middle; second is the star Omicron Velorum
C92|position|161.265 -59.75|between the nebula's middle and Eta Carinae, in the brightest part, from memory
C92|magnitude|3.0|second; estimates of so large a nebula differ widely
C93|magnitude|5.4|second within 0.1, as lists of globular clusters have it
C99|position|192.5 -62.5|first: a cloud of seven by five degrees has no exact middle
C100|position|174.15 -63.03|the cluster near Lambda Centauri, from memory; first is the middle of the outer nebula, second the star itself
C100|type|cluster with nebula|first says only that it is bright nebula; the entry has always meant both
C103|magnitude|8.0|second; estimates of the nebula as a whole differ by more than a magnitude
C105|magnitude|6.9|from memory of lists of globular clusters; both sources are blue
C107|magnitude|9.2|second, as lists of globular clusters have it; first is blue
C108|magnitude|7.2|second, as lists of globular clusters have it; first is blue
C38|size|15.8 2.1|second; first has the row of a faint galaxy nearby, and the shorter axis is from memory
`;
