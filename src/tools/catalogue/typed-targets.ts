/**
 * Targets that neither deep-sky lists nor the Hipparcos Catalogue's named stars hold, typed one by one.
 * Row: id | name | type | right ascension and declination, J2000 | visual magnitude (a variable's usual one) | size, arc minutes |
 * further names. Positions: the International Celestial Reference Frame for quasars, Hipparcos and Tycho-2 for stars, from
 * memory; those with a HIP or bright enough for the star lists are checked against them.
 */
export const typedTargets = `
3C273|3C 273|quasar|12 29 06.70 +02 03 08.6|12.9||Quasar 3C 273
3C48|3C 48|quasar|01 37 41.30 +33 09 35.1|16.2||
Markarian421|Markarian 421|quasar|11 04 27.31 +38 12 31.8|13.3||Mrk 421; Mkn 421
BLLacertae|BL Lacertae|quasar|22 02 43.29 +42 16 40.0|14.5||BL Lac
TwinQuasar|Twin Quasar|quasar|10 01 20.69 +55 53 55.6|16.7||Double Quasar; Q0957+561; QSO 0957+561
SSCygni|SS Cygni|variable star|21 42 42.80 +43 35 09.9|12||SS Cyg
UGeminorum|U Geminorum|variable star|07 55 05.23 +22 00 05.1|14.5||U Gem
RSOphiuchi|RS Ophiuchi|variable star|17 50 13.20 -06 42 28.5|11||RS Oph
UCephei|U Cephei|variable star|01 02 18.44 +81 52 32.1|6.8||U Cep
RZCassiopeiae|RZ Cassiopeiae|variable star|02 48 55.51 +69 38 03.4|6.3||RZ Cas
WUrsaeMajoris|W Ursae Majoris|variable star|09 43 45.47 +55 57 09.1|7.9||W UMa
CygnusX1|Cygnus X-1|star|19 58 21.68 +35 12 05.8|8.9||Cyg X-1; HDE 226868; HD 226868; V1357 Cyg
ScorpiusX1|Scorpius X-1|star|16 19 55.07 -15 38 24.8|12.2||Sco X-1; V818 Sco
CassiopeiaA|Cassiopeia A|supernova remnant|23 23 24.0 +58 48 54||5|Cas A; 3C 461
HD209458|HD 209458|star|22 03 10.77 +18 53 03.5|7.6||HD 209458 b; V376 Peg
HD189733|HD 189733|star|20 00 43.71 +22 42 39.1|7.7||HD 189733 b; V452 Vul
WASP12|WASP-12|star|06 30 32.79 +29 40 20.3|11.6||WASP-12 b
WASP33|WASP-33|star|02 26 51.06 +37 33 01.7|8.3||WASP-33 b; HD 15082
TrES3|TrES-3|star|17 52 07.02 +37 32 46.2|12.4||TrES-3 b
Qatar1|Qatar-1|star|20 13 31.62 +65 09 43.5|12.8||Qatar-1 b
WASP43|WASP-43|star|10 19 38.01 -09 48 22.6|12.4||WASP-43 b
HATP32|HAT-P-32|star|02 04 10.28 +46 41 16.2|11.3||HAT-P-32 b
WASP52|WASP-52|star|23 13 58.76 +08 45 40.6|12.2||WASP-52 b
HATP36|HAT-P-36|star|12 33 03.91 +44 54 55.2|12.3||HAT-P-36 b
`;
