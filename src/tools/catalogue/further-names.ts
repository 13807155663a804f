/** Common names and further designations of the objects in further-table.ts, and under which key d3-celestial has them. */

/** Row: our id | common names, the one that leads first ("~": none) | further designations. From memory. */
export const furtherNames = `
NGC134|~Giant Squid Galaxy|
NGC288|~Sculptor Globular|
NGC292|Small Magellanic Cloud; SMC|
LMC|Large Magellanic Cloud; Nubecula Major|
NGC404|~Mirach's Ghost|
NGC520|~Flying Ghost Galaxy|
NGC772|~Fiddlehead Galaxy|
NGC936|~Starfighter Galaxy|
NGC1023|~Perseus Lenticular Galaxy|
NGC1232|~Eye of God Galaxy|
NGC1291|~Snow Collar Galaxy|NGC 1269
NGC1300||
NGC1313|~Topsy Turvy Galaxy|
NGC1316|~Fornax A|
NGC1350|~Cosmic Eye Galaxy|
NGC1365|~Great Barred Spiral Galaxy; Fornax Propeller Galaxy|
NGC1532|~Haley's Coronet|
NGC1566|~Spanish Dancer Galaxy|
NGC2146|~Dusty Hand Galaxy|
NGC2442|~Meathook Galaxy|
NGC2683|~UFO Galaxy|
NGC2685|~Helix Galaxy|
NGC2841|~Tiger's Eye Galaxy|
NGC3077|~Garland Galaxy|
NGC3079|~Phantom Frisbee Galaxy|
NGC3344|~Sliced Onion Galaxy|
NGC3432|~Knitting Needle Galaxy|
NGC3521|~Bubble Galaxy|
NGC3621|~Frame Galaxy|
NGC3628|~Hamburger Galaxy; Sarah's Galaxy|
NGC4151|~Eye of Sauron Galaxy|
NGC4216|~Silver Streak Galaxy|
NGC4438||
NGC4490|~Cocoon Galaxy|
NGC4526|~Hairy Eyebrow Galaxy|
NGC4535|~Lost Galaxy; Lost Galaxy of Copeland|
NGC4567||
NGC4605|~Faberge Egg Galaxy|
NGC4651|~Umbrella Galaxy|
NGC4656|~Hockey Stick Galaxy; Crowbar Galaxy|
NGC4666|~Superwind Galaxy|
NGC4753|~Dust Devil Galaxy|
NGC4762|~Paper Kite Galaxy|
NGC5033|~Waterbug Galaxy|
NGC5102|~Iota's Ghost|
NGC5746|~Blade and Pearl Galaxy|
NGC6503|~Lost in Space Galaxy|
NGC7320||Arp 319
NGC7424|~Grand Design Galaxy|
NGC7552||
NGC7742|~Fried Egg Galaxy|
NGC7793|~Bond's Galaxy|
IC2574|~Coddington's Nebula|
NGC225|~Sailboat Cluster|
NGC654|~Fuzzy Butterfly Cluster|
NGC659|~Yin-Yang Cluster|
NGC869|~h Persei Cluster; h Persei|
NGC884|~Chi Persei Cluster; Chi Persei|
NGC1502|~Jolly Roger Cluster|
NGC1647|~Pirate Moon Cluster|
NGC1893|~Letter Y Cluster|
NGC1981|~Coal Car Cluster|
NGC2169|~37 Cluster|
NGC2281|~Broken Heart Cluster|
NGC2301|~Hagrid's Dragon Cluster; Great Bird Cluster|
NGC2353|~Avery's Island|
NGC2451|~Stinging Scorpion Cluster|
NGC2539|~Dish Cluster|
NGC2546|~Heart and Dagger Cluster|
NGC2547|~Golden Earring Cluster|
NGC3293|~Gem Cluster|
NGC6520|~Dead Man's Chest Cluster|
NGC6633|~Tweedledum Cluster|
NGC6709|~Flying Unicorn Cluster|
NGC6811|~Hole in a Cluster|
NGC6819|~Foxhead Cluster|
NGC6866|~Kite Cluster; Frigate Bird Cluster|
NGC6910|~Inchworm Cluster|
NGC6939|~Ghost Bush Cluster|
NGC6940|~Mothra Cluster|
NGC7160|~Swimming Alligator Cluster|
NGC7209|~Star Lizard Cluster|
NGC7510|~Dormouse Cluster|
NGC7789|~Caroline's Rose; White Rose Cluster|
IC4665|~Summer Beehive Cluster|
IC4756|~Graff's Cluster; Tweedledee Cluster|
Mel20|Alpha Persei Cluster; Perseus Moving Cluster|Cr 39
Mel111|Coma Star Cluster; Coma Berenices Star Cluster|Cr 256
NGC5466|~Snowglobe Cluster|
NGC5897|~Ghost Globular|
NGC6441|~Silver Nugget Cluster|
NGC6522|~Baade's Window|
NGC6723|~Chandelier Cluster|
NGC1360|~Robin's Egg Nebula|
NGC1501|~Camel's Eye Nebula; Oyster Nebula|
NGC1514|Crystal Ball Nebula|
NGC1535|~Cleopatra's Eye Nebula|
NGC2022|~Kissing Crescents Nebula|
NGC2346|~Butterfly Nebula in Monoceros|
NGC2371|~Gemini Nebula; Double Bubble Nebula|NGC 2372
NGC2440|~Albino Butterfly Nebula|
NGC3918|~Blue Planetary; Southerner|
NGC4361|~Lawn Sprinkler Nebula|
NGC5189|~Spiral Planetary Nebula|
NGC6210|~Turtle Nebula|
NGC6309|~Box Nebula|
NGC6337|~Cheerio Nebula|
NGC6369|~Little Ghost Nebula|
NGC6445|~Crescent Planetary|
NGC6537|~Red Spider Nebula|
NGC6572|~Blue Racquetball Nebula; Emerald Nebula|
NGC6741|~Phantom Streak Nebula|
NGC6751|~Glowing Eye Nebula; Dandelion Puffball Nebula|
NGC6781|~Snowglobe Nebula|
NGC6818|~Little Gem Nebula|
NGC6894|~Little Ring Nebula; Diamond Ring Nebula|
NGC6905|~Blue Flash Nebula|
NGC7008|~Fetus Nebula|
NGC7026|~Cheeseburger Nebula|
NGC7027|~Jewel Bug Nebula; Pink Pillow Nebula|
NGC7048|~Peek-a-Boo Nebula|
IC418|~Spirograph Nebula|
IC3568|~Lemon Slice Nebula|
IC4406|~Retina Nebula|
IC4593|~White-Eyed Pea Nebula|
IC5148|~Spare Tyre Nebula|
NGC281|Pacman Nebula|Sh2-184
NGC1491|~Fossil Footprint Nebula|
NGC1499|California Nebula|Sh2-220
NGC1931|~Fly Nebula|
NGC2024|Flame Nebula|
NGC2174|Monkey Head Nebula|NGC 2175; Sh2-252
NGC2359|Thor's Helmet; Duck Nebula|
NGC2467|~Skull and Crossbones Nebula|
NGC3324|~Gabriela Mistral Nebula|
NGC3576|~Statue of Liberty Nebula|
NGC6164|~Dragon's Egg Nebula|
NGC6334|Cat's Paw Nebula; Bear Claw Nebula|
NGC6357|~Lobster Nebula; War and Peace Nebula|
NGC7538|~Northern Lagoon Nebula|Sh2-158
NGC7822|~Question Mark Nebula|Sh2-171
IC417|~Spider Nebula|
IC1318|~Sadr Region; Gamma Cygni Nebula; Butterfly Nebula in Cygnus|
IC1795|~Fish Head Nebula|
IC1805|Heart Nebula|Sh2-190
IC1848|Soul Nebula; Embryo Nebula|Sh2-199
IC2177|Seagull Nebula|
IC4628|~Prawn Nebula|
IC5070|Pelican Nebula|
NGC2264|Christmas Tree Cluster; Cone Nebula; Fox Fur Nebula|
NGC7129|~Small Cluster Nebula|
NGC7380|Wizard Nebula|Sh2-142
IC410|~Tadpole Nebula; Tadpoles|
IC1396|Elephant's Trunk Nebula|Tr 37
NGC1333|~Embryo Nebula in Perseus|
NGC1432|Maia Nebula|
NGC1435|Merope Nebula|
NGC1555|Hind's Variable Nebula; Hind's Nebula|
NGC1579|~Northern Trifid; Trifid of the North|
NGC1788|~Cosmic Bat Nebula; Foxface Nebula|
NGC1977|Running Man Nebula|Sh2-279
NGC1999|~Keyhole Nebula in Orion; 13th Pearl Nebula|
NGC2170|~Angel Nebula|
IC63|~Ghost of Cassiopeia; Ghost Nebula|
IC2118|Witch Head Nebula|NGC 1909
IC4592|~Blue Horsehead Nebula|
IC4604|Rho Ophiuchi Nebula|
NGC2736|~Pencil Nebula|
NGC6979|Pickering's Triangle; Fleming's Triangular Wisp|
IC443|Jellyfish Nebula|Sh2-248
B33|Horsehead Nebula|
B86|~Ink Spot Nebula|
B92|~Black Hole Nebula|
B143|~Barnard's E; E Nebula|
Cr399|Coathanger; Brocchi's Cluster|
`;

/** Objects that d3-celestial files under another designation. */
export const celestialKeys: Readonly<Record<string, string>> = {
  NGC1291: "NGC 1269",
  LMC: "PGC 17223",
  Mel20: "Cr 39",
  Mel111: "Cr 256",
  NGC2174: "NGC 2175",
  NGC2237: "NGC 2238",
  IC2118: "NGC 1909",
  C14: "NGC 869",
};
