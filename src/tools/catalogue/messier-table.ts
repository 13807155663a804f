/**
 * The Messier objects: nature, common names and further designations, written from memory.
 * A name leads where d3-celestial and the second source both have it; "~" before a row's names: none of them leads, each is
 * found. A group's name is no member's (src/sky/names/several.ts).
 * Row: number | type | common names, the one that leads first | designations beyond the one in d3-celestial.
 */
export const messierTable = `
1|supernova remnant|Crab Nebula; Taurus A|Sh2-244
2|globular cluster||
3|globular cluster||
4|globular cluster||
5|globular cluster|~Rose Cluster|
6|open cluster|Butterfly Cluster|
7|open cluster|Ptolemy's Cluster; Ptolemy Cluster|
8|cluster with nebula|Lagoon Nebula|NGC 6533; Sh2-25
9|globular cluster||
10|globular cluster||
11|open cluster|Wild Duck Cluster|
12|globular cluster||
13|globular cluster|Hercules Cluster; Great Hercules Cluster; Great Globular Cluster in Hercules; Hercules Globular|
14|globular cluster||
15|globular cluster|~Pegasus Cluster; Great Pegasus Cluster|
16|cluster with nebula|Eagle Nebula; Star Queen Nebula; Pillars of Creation|IC 4703; Sh2-49
17|emission nebula|Omega Nebula; Swan Nebula; Horseshoe Nebula; Checkmark Nebula|Sh2-45
18|open cluster|~Black Swan Cluster|
19|globular cluster||
20|emission nebula|Trifid Nebula|Sh2-30
21|open cluster|~Webb's Cross|
22|globular cluster|Sagittarius Cluster; Great Sagittarius Cluster|
23|open cluster||
24|asterism|Sagittarius Star Cloud; Small Sagittarius Star Cloud|IC 4715
25|open cluster||
26|open cluster||
27|planetary nebula|Dumbbell Nebula; Apple Core Nebula|
28|globular cluster||
29|open cluster|~Cooling Tower Cluster|
30|globular cluster||
31|galaxy|Andromeda Galaxy; Great Andromeda Nebula; Great Galaxy in Andromeda|
32|galaxy|~Le Gentil's Galaxy|
33|galaxy|Triangulum Galaxy; Triangulum Pinwheel|
34|open cluster|~Spiral Cluster|
35|open cluster|~Shoe-Buckle Cluster|
36|open cluster||
37|open cluster|~Salt-and-Pepper Cluster|
38|open cluster|~Starfish Cluster|
39|open cluster||
40|double star|~Winnecke 4|WNC 4
41|open cluster|~Little Beehive Cluster|
42|emission nebula|Orion Nebula; Great Orion Nebula; Great Nebula in Orion; Sword of Orion|Sh2-281
43|emission nebula|~De Mairan's Nebula|
44|open cluster|Beehive Cluster; Praesepe; Manger|Mel 88
45|open cluster|Pleiades; Seven Sisters; Subaru|Mel 22
46|open cluster||
47|open cluster||
48|open cluster||
49|galaxy||
50|open cluster|~Heart-Shaped Cluster|
51|galaxy|Whirlpool Galaxy|
52|open cluster||
53|globular cluster||
54|globular cluster||
55|globular cluster|~Specter Cluster|
56|globular cluster||
57|planetary nebula|Ring Nebula|
58|galaxy||
59|galaxy||
60|galaxy||
61|galaxy|~Swelling Spiral Galaxy|
62|globular cluster|~Flickering Globular|
63|galaxy|Sunflower Galaxy|
64|galaxy|Black Eye Galaxy; Evil Eye Galaxy; Sleeping Beauty Galaxy|
65|galaxy||
66|galaxy||
67|open cluster|~King Cobra Cluster; Golden Eye Cluster|
68|globular cluster||
69|globular cluster||
70|globular cluster||
71|globular cluster|~Angelfish Cluster|
72|globular cluster||
73|asterism||
74|galaxy|Phantom Galaxy|
75|globular cluster||
76|planetary nebula|Little Dumbbell Nebula; Barbell Nebula; Cork Nebula|
77|galaxy|~Cetus A; Squid Galaxy|
78|reflection nebula||
79|globular cluster||
80|globular cluster||
81|galaxy|Bode's Galaxy; Bode's Nebula|
82|galaxy|Cigar Galaxy|
83|galaxy|Southern Pinwheel Galaxy|
84|galaxy||
85|galaxy||
86|galaxy||
87|galaxy|~Virgo A; Virgo Galaxy|
88|galaxy||
89|galaxy||
90|galaxy||
91|galaxy||
92|globular cluster||
93|open cluster||
94|galaxy|~Croc's Eye Galaxy|
95|galaxy||
96|galaxy||
97|planetary nebula|Owl Nebula|
98|galaxy||
99|galaxy|~Coma Pinwheel Galaxy; St. Catherine's Wheel|
100|galaxy|~Mirror Galaxy|
101|galaxy|Pinwheel Galaxy|
102|galaxy|Spindle Galaxy|
103|open cluster||
104|galaxy|Sombrero Galaxy|
105|galaxy||
106|galaxy||
107|globular cluster|~Crucifix Cluster|
108|galaxy|~Surfboard Galaxy|
109|galaxy|~Vacuum Cleaner Galaxy|
110|galaxy||
`;
