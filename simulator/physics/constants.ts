/** Stefan-Boltzmann constant, W/(m2 K4). CODATA 2018; from memory. */
export const STEFAN_BOLTZMANN = 5.670374e-8;
export const KELVIN = 273.15;

/** Sea-level pressure, Pa: the standard atmosphere; from memory. */
export const AIR_PRESSURE_PA = 101_325;
/** Heat capacity of air, J/(kg K), near 60 degC; from memory. */
export const AIR_CP = 1007;
/** Le^(2/3) of water vapour in air, Le about 0.86; from memory. */
export const LEWIS_FACTOR = 0.9;
/** Molar mass of water over that of dry air; from memory. */
export const VAPOUR_RATIO = 0.62198;
/** Latent heat of vaporisation of water, J/kg, at 60 degC; steam tables, from memory. */
export const VAPORISATION_J_KG = 2.358e6;

/** Latent heat of fusion of water, J/kg. FAO, ice in fisheries: 80 kcal/kg; 333.6 kJ/kg, read second-hand. */
export const FUSION_J_KG = 333_600;
/** Heat capacity of ice near -9 degC, J/(kg K): 36.9 kJ/kg from -18 to 0 degC; Choi and Okos 1986, read second-hand. */
export const ICE_CP = 2050;

/** Emissivity of wet food, sooty steel and ash; assumption (0.9 for most non-metals, from memory). */
export const EMISSIVITY = 0.9;
