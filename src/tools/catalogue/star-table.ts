/**
 * Stars of teaching interest: the brightest, fine doubles, variables, near or otherwise famous ones.
 * Row: designation | proper name (IAU Catalog of Star Names; from memory; "~": few books use it, the designation leads) | further names. Magnitudes and places come
 * from the Hipparcos rows of d3-celestial; a variable's magnitude there is its median, a double's that of its brighter
 * star where the pair has two rows.
 */
export const starTable = {
  star: `
α And|Alpheratz|
β Cas|Caph|
γ Peg|Algenib|
α Phe|Ankaa|
α Cas|Schedar|
β Cet|Diphda|Deneb Kaitos
β And|Mirach|
δ Cas|Ruchbah|
α Eri|Achernar|
β Ari|Sheratan|
α Ari|Hamal|
α Cet|Menkar|
α Per|Mirfak|
ε Eri|~Ran|
17 Tau|Electra|
20 Tau|Maia|
23 Tau|Merope|
27 Tau|Atlas|
28 Tau|Pleione|
η Tau|Alcyone|
α Tau|Aldebaran|
α Aur|Capella|
γ Ori|Bellatrix|
β Tau|Elnath|
β Lep|Nihal|
α Lep|Arneb|
ε Ori|Alnilam|
κ Ori|Saiph|
ζ Tau|~Tianguan|
α Col|Phact|
β Aur|Menkalinan|
β CMa|Mirzam|
μ Gem|Tejat|
α Car|Canopus|
γ Gem|Alhena|
ε Gem|Mebsuta|
ε CMa|Adhara|
δ CMa|Wezen|
η CMa|Aludra|
β CMi|Gomeisa|
α CMi|Procyon|
β Gem|Pollux|
ζ Pup|Naos|
ε Car|Avior|
β Car|Miaplacidus|
ι Car|~Aspidiske|
λ Vel|Suhail|
α Hya|Alphard|
δ Leo|Zosma|
θ Leo|~Chertan|
β Leo|Denebola|
β UMa|Merak|
α UMa|Dubhe|
γ UMa|Phecda|
δ UMa|Megrez|
ε UMa|Alioth|
η UMa|Alkaid|
g UMa|Alcor|80 Ursae Majoris
γ Crv|Gienah|
β Crv|~Kraz|
γ Cru|Gacrux|
β Cru|Mimosa|
ε Vir|Vindemiatrix|
α Vir|Spica|
η Boo|Muphrid|
β Cen|Hadar|Agena
θ Cen|Menkent|
α Dra|Thuban|
α Boo|Arcturus|
α2 Cen|Toliman|Alpha Centauri B
β UMi|Kochab|
γ UMi|Pherkad|
β Lib|Zubeneschamali|
α CrB|Alphecca|
α Ser|Unukalhai|
δ Sco|Dschubba|
β Her|Kornephoros|
α TrA|Atria|
η Oph|Sabik|
α Oph|Rasalhague|
β Oph|~Cebalrai|
λ Sco|Shaula|
υ Sco|Lesath|
θ Sco|Sargas|
β Dra|Rastaban|
γ Dra|Eltanin|Etamin
γ2 Sgr|Alnasl|
δ Sgr|Kaus Media|
ε Sgr|Kaus Australis|
λ Sgr|Kaus Borealis|
σ Sgr|Nunki|
ζ Sgr|Ascella|
α Lyr|Vega|
γ Lyr|Sulafat|
γ Aql|Tarazed|
α Aql|Altair|
β Aql|Alshain|
γ Cyg|Sadr|
α Cyg|Deneb|
ε Cyg|~Aljanah|
α Pav|Peacock|
α Cep|Alderamin|
γ Cep|Errai|
β Aqr|Sadalsuud|
α Aqr|Sadalmelik|
δ Aqr|Skat|
ε Peg|Enif|
δ Cap|Deneb Algedi|
α Gru|Alnair|
α PsA|Fomalhaut|
β Peg|Scheat|
α Peg|Markab|
τ Cet||
υ And|~Titawin|
51 Peg|~Helvetios|
HIP 70890|Proxima Centauri|Proxima
HIP 87937|Barnard's Star|
HIP 24186|Kapteyn's Star|
HIP 54035|Lalande 21185|
HIP 36208|Luyten's Star|
HIP 57939|Groombridge 1830|
HIP 3829|Van Maanen's Star|Van Maanen 2`,
  "double star": `
η Cas|~Achird|
ι Cas||
γ1 And|Almach|
γ1 Ari|Mesarthim|
α UMi|Polaris|North Star; Pole Star
α Psc|~Alrescha|
η Per|~Miram|
θ1 Eri|~Acamar|
ο2 Eri|~Keid|40 Eridani
32 Eri||
β Ori|Rigel|
δ Ori|Mintaka|
ζ Ori|Alnitak|
λ Ori|~Meissa|
ι Ori|~Hatysa|
σ Ori||
θ1 Ori|Trapezium|Trapezium Cluster; Theta1 Orionis; Theta1 Orionis C
β Mon||
α CMa|Sirius|Dog Star
δ Gem|Wasat|
α Gem|Castor|
ζ1 Cnc|~Tegmine|
ι Cnc||
γ2 Vel||Regor
δ Vel|~Alsephina|
α Leo|Regulus|
ζ Leo|~Adhafera|
γ1 Leo|Algieba|
ξ UMa|~Alula Australis|
ζ UMa|Mizar|
α1 Cru|Acrux|
δ Crv|Algorab|
γ Vir|Porrima|
24 Com||
α2 CVn|Cor Caroli|
α1 Cen|Rigil Kentaurus|Alpha Centauri; Alpha Centauri A; Rigil Kent
ε Boo|Izar|
ξ Boo||
α2 Lib|Zubenelgenubi|
μ1 Boo|~Alkalurops|
σ CrB||
β1 Sco|Acrab|Graffias
ν Sco|~Jabbah|
α Sco|Antares|
κ Her|~Marsic|
ζ Her||
α1 Her|Rasalgethi|
δ Her|~Sarin|
ν2 Dra|~Kuma|
70 Oph||
95 Her||
ε1 Lyr||Double Double
ζ1 Lyr||
θ1 Ser|~Alya|
β1 Cyg|Albireo|
δ Cyg|~Fawaris|
α2 Cap|Algedi|
β Cap|Dabih|
γ2 Del||
β Del|Rotanev|
α Del|Sualocin|
61 Cyg||Bessel's Star
β Cep|~Alfirk|
ζ1 Aqr||Sadaltager
16 Cyg||`,
  "variable star": `
ο Cet|Mira|
β Per|Algol|Demon Star
ρ Per||
γ Cas||Navi
ρ Cas||
ε Aur|~Almaaz|
ζ Aur|~Saclateni|
α Ori|Betelgeuse|
AE Aur||
HIP 23203|R Leporis|Hind's Crimson Star; R Lep
η Gem|~Propus|
ζ Gem|~Mekbuda|
HIP 48036|R Leonis|R Leo
Y CVn|La Superba|
R Hya||
HIP 117054|R Aquarii|R Aqr
R CrB||
HIP 78322|T Coronae Borealis|Blaze Star; T CrB
R Sct||
β Lyr|~Sheliak|
HIP 95497|RR Lyrae|RR Lyr
η Aql||
HIP 97629|Chi Cygni|χ Cyg
P Cyg||
μ Cep||Herschel's Garnet Star; Garnet Star; Erakis
δ Cep||
TX Psc||19 Piscium`,
} as const;
