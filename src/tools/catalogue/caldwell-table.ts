/**
 * The Caldwell objects: which catalogue entry each one is, its nature and common names, written from memory.
 * Row: number | its entry | type | common names, the one that leads first ("~": none) | further designations.
 */
export const caldwellTable = `
1|NGC 188|open cluster|~Polarissima Cluster|
2|NGC 40|planetary nebula|~Bow-Tie Nebula|
3|NGC 4236|galaxy||
4|NGC 7023|reflection nebula|Iris Nebula|
5|IC 342|galaxy|~Hidden Galaxy|
6|NGC 6543|planetary nebula|Cat's Eye Nebula; Sunflower Planetary|
7|NGC 2403|galaxy||
8|NGC 559|open cluster||
9|C 9|emission nebula|Cave Nebula|Sh2-155
10|NGC 663|open cluster||
11|NGC 7635|emission nebula|Bubble Nebula|Sh2-162
12|NGC 6946|galaxy|Fireworks Galaxy|
13|NGC 457|open cluster|Owl Cluster; E.T. Cluster; Dragonfly Cluster; Phi Cassiopeiae Cluster|
14|C 14|open cluster|Double Cluster; Double Cluster in Perseus; h and Chi Persei; Perseus Double Cluster|
15|NGC 6826|planetary nebula|Blinking Planetary; Blinking Eye Nebula|
16|NGC 7243|open cluster||
17|NGC 147|galaxy||
18|NGC 185|galaxy||
19|IC 5146|cluster with nebula|Cocoon Nebula|Sh2-125
20|NGC 7000|emission nebula|North America Nebula; North American Nebula|Sh2-117
21|NGC 4449|galaxy||
22|NGC 7662|planetary nebula|Blue Snowball Nebula|
23|NGC 891|galaxy|~Silver Sliver Galaxy|
24|NGC 1275|galaxy|~Perseus A|
25|NGC 2419|globular cluster|~Intergalactic Wanderer; Intergalactic Tramp|
26|NGC 4244|galaxy|~Silver Needle Galaxy|
27|NGC 6888|emission nebula|Crescent Nebula|Sh2-105
28|NGC 752|open cluster||
29|NGC 5005|galaxy||
30|NGC 7331|galaxy|~Deer Lick Galaxy|
31|IC 405|emission nebula|Flaming Star Nebula|Sh2-229
32|NGC 4631|galaxy|Whale Galaxy|
33|NGC 6992|supernova remnant|Eastern Veil Nebula; East Veil; Network Nebula|NGC 6995
34|NGC 6960|supernova remnant|Western Veil Nebula; West Veil; Witch's Broom Nebula; Filamentary Nebula|
35|NGC 4889|galaxy|~Coma B|
36|NGC 4559|galaxy|~Koi Fish Galaxy|
37|NGC 6885|open cluster|~20 Vulpeculae Cluster|
38|NGC 4565|galaxy|Needle Galaxy|
39|NGC 2392|planetary nebula|Eskimo Nebula; Clown Face Nebula; Lion Nebula|
40|NGC 3626|galaxy||
41|C 41|open cluster|Hyades|Mel 25; Cr 50
42|NGC 7006|globular cluster||
43|NGC 7814|galaxy|~Little Sombrero Galaxy|
44|NGC 7479|galaxy|~Superman Galaxy; Propeller Galaxy|
45|NGC 5248|galaxy||
46|NGC 2261|reflection nebula|Hubble's Variable Nebula|
47|NGC 6934|globular cluster||
48|NGC 2775|galaxy||
49|NGC 2237|emission nebula|Rosette Nebula|NGC 2238; NGC 2239; NGC 2246; Sh2-275
50|NGC 2244|open cluster|~Satellite Cluster; Rosette Cluster|
51|IC 1613|galaxy||
52|NGC 4697|galaxy||
53|NGC 3115|galaxy|~Spindle Galaxy in Sextans|
54|NGC 2506|open cluster||
55|NGC 7009|planetary nebula|Saturn Nebula|
56|NGC 246|planetary nebula|Skull Nebula; Pac-Man Planetary|
57|NGC 6822|galaxy|Barnard's Galaxy|
58|NGC 2360|open cluster|~Caroline's Cluster|
59|NGC 3242|planetary nebula|Ghost of Jupiter; Jupiter's Ghost Nebula; Eye Nebula|
60|NGC 4038|galaxy|~Ring Tail Galaxy|
61|NGC 4039|galaxy||
62|NGC 247|galaxy||
63|NGC 7293|planetary nebula|Helix Nebula; Eye of God|
64|NGC 2362|open cluster|~Tau Canis Majoris Cluster|
65|NGC 253|galaxy|Sculptor Galaxy; Silver Coin Galaxy; Silver Dollar Galaxy|
66|NGC 5694|globular cluster||
67|NGC 1097|galaxy||
68|NGC 6729|reflection nebula|~R Coronae Australis Nebula|
69|NGC 6302|planetary nebula|Bug Nebula; Butterfly Nebula|
70|NGC 300|galaxy|~Sculptor Pinwheel Galaxy|
71|NGC 2477|open cluster||
72|NGC 55|galaxy|~String of Pearls Galaxy|
73|NGC 1851|globular cluster||
74|NGC 3132|planetary nebula|Southern Ring Nebula; Eight-Burst Nebula|
75|NGC 6124|open cluster||
76|NGC 6231|open cluster|~Northern Jewel Box; False Comet Cluster|
77|NGC 5128|galaxy|Centaurus A; Hamburger Galaxy in Centaurus|
78|NGC 6541|globular cluster||
79|NGC 3201|globular cluster||
80|NGC 5139|globular cluster|Omega Centauri; Omega Centauri Cluster|
81|NGC 6352|globular cluster||
82|NGC 6193|open cluster||
83|NGC 4945|galaxy|~Tweezers Galaxy|
84|NGC 5286|globular cluster||
85|IC 2391|open cluster|~Omicron Velorum Cluster|
86|NGC 6397|globular cluster||
87|NGC 1261|globular cluster||
88|NGC 5823|open cluster||
89|NGC 6087|open cluster|~S Normae Cluster|
90|NGC 2867|planetary nebula||
91|NGC 3532|open cluster|~Wishing Well Cluster; Football Cluster|
92|NGC 3372|emission nebula|Carina Nebula; Eta Carinae Nebula; Eta Carinae|
93|NGC 6752|globular cluster|~Pavo Globular Cluster|
94|NGC 4755|open cluster|Jewel Box; Kappa Crucis Cluster|
95|NGC 6025|open cluster||
96|NGC 2516|open cluster|~Southern Beehive Cluster; Diamond Cluster|
97|NGC 3766|open cluster|~Pearl Cluster|
98|NGC 4609|open cluster|~Coalsack Cluster|
99|C 99|dark nebula|Coalsack; Coalsack Nebula; Southern Coalsack|
100|IC 2944|cluster with nebula|Running Chicken Nebula; Lambda Centauri Nebula; Lambda Centauri Cluster|
101|NGC 6744|galaxy||
102|IC 2602|open cluster|Southern Pleiades; Theta Carinae Cluster|
103|NGC 2070|emission nebula|Tarantula Nebula; 30 Doradus; Loop Nebula|
104|NGC 362|globular cluster||
105|NGC 4833|globular cluster||
106|NGC 104|globular cluster|47 Tucanae; 47 Tuc|
107|NGC 6101|globular cluster||
108|NGC 4372|globular cluster||
109|NGC 3195|planetary nebula||
`;
