// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "its90_tables.hpp"

// Coefficients of NIST Monograph 175 (1993), as NIST prints them in its ITS-90 Thermocouple Database (Standard Reference Database
// 60), a work of the US government in the public domain. Temperature [degC] from emf [mV].
namespace bakewright::probe {
namespace {

constexpr std::array kInverseB0 = {9.8423321e+01, 6.9971500e+02,  -8.4765304e+02, 1.0052644e+03, -8.3345952e+02,
                                   4.5508542e+02, -1.5523037e+02, 2.9886750e+01,  -2.4742860e+00};
constexpr std::array kInverseB1 = {2.1315071e+02, 2.8510504e+02,  -5.2742887e+01, 9.9160804e+00, -1.2965303e+00,
                                   1.1195870e-01, -6.0625199e-03, 1.8661696e-04,  -2.4878585e-06};
constexpr std::array kInverseB = {Its90Polynomial{0.291, 2.431, kInverseB0}, Its90Polynomial{2.431, 13.820, kInverseB1}};

constexpr std::array kInverseE0 = {0.0000000e+00,  1.6977288e+01,  -4.3514970e-01, -1.5859697e-01, -9.2502871e-02,
                                   -2.6084314e-02, -4.1360199e-03, -3.4034030e-04, -1.1564890e-05};
constexpr std::array kInverseE1 = {0.0000000e+00,  1.7057035e+01, -2.3301759e-01, 6.5435585e-03, -7.3562749e-05,
                                   -1.7896001e-06, 8.4036165e-08, -1.3735879e-09, 1.0629823e-11, -3.2447087e-14};
constexpr std::array kInverseE = {Its90Polynomial{-8.825, 0.000, kInverseE0}, Its90Polynomial{0.000, 76.373, kInverseE1}};

constexpr std::array kInverseJ0 = {0.0000000e+00,  1.9528268e+01,  -1.2286185e+00, -1.0752178e+00, -5.9086933e-01,
                                   -1.7256713e-01, -2.8131513e-02, -2.3963370e-03, -8.3823321e-05};
constexpr std::array kInverseJ1 = {0.000000e+00,  1.978425e+01, -2.001204e-01, 1.036969e-02,
                                   -2.549687e-04, 3.585153e-06, -5.344285e-08, 5.099890e-10};
constexpr std::array kInverseJ2 = {-3.11358187e+03, 3.00543684e+02,  -9.94773230e+00,
                                   1.70276630e-01,  -1.43033468e-03, 4.73886084e-06};
constexpr std::array kInverseJ = {Its90Polynomial{-8.095, 0.000, kInverseJ0}, Its90Polynomial{0.000, 42.919, kInverseJ1},
                                  Its90Polynomial{42.919, 69.553, kInverseJ2}};

constexpr std::array kInverseK0 = {0.0000000e+00,  2.5173462e+01,  -1.1662878e+00, -1.0833638e+00, -8.9773540e-01,
                                   -3.7342377e-01, -8.6632643e-02, -1.0450598e-02, -5.1920577e-04};
constexpr std::array kInverseK1 = {0.000000e+00,  2.508355e+01, 7.860106e-02,  -2.503131e-01, 8.315270e-02,
                                   -1.228034e-02, 9.804036e-04, -4.413030e-05, 1.057734e-06,  -1.052755e-08};
constexpr std::array kInverseK2 = {-1.318058e+02, 4.830222e+01, -1.646031e+00, 5.464731e-02,
                                   -9.650715e-04, 8.802193e-06, -3.110810e-08};
constexpr std::array kInverseK = {Its90Polynomial{-5.891, 0.000, kInverseK0}, Its90Polynomial{0.000, 20.644, kInverseK1},
                                  Its90Polynomial{20.644, 54.886, kInverseK2}};

constexpr std::array kInverseN0 = {0.0000000e+00, 3.8436847e+01, 1.1010485e+00, 5.2229312e+00, 7.2060525e+00,
                                   5.8488586e+00, 2.7754916e+00, 7.7075166e-01, 1.1582665e-01, 7.3138868e-03};
constexpr std::array kInverseN1 = {0.00000e+00,  3.86896e+01,  -1.08267e+00, 4.70205e-02,
                                   -2.12169e-06, -1.17272e-04, 5.39280e-06,  -7.98156e-08};
constexpr std::array kInverseN2 = {1.972485e+01, 3.300943e+01, -3.915159e-01, 9.855391e-03, -1.274371e-04, 7.767022e-07};
constexpr std::array kInverseN = {Its90Polynomial{-3.990, 0.000, kInverseN0}, Its90Polynomial{0.000, 20.613, kInverseN1},
                                  Its90Polynomial{20.613, 47.513, kInverseN2}};

constexpr std::array kInverseR0 = {0.0000000e+00,  1.8891380e+02, -9.3835290e+01, 1.3068619e+02, -2.2703580e+02, 3.5145659e+02,
                                   -3.8953900e+02, 2.8239471e+02, -1.2607281e+02, 3.1353611e+01, -3.3187769e+00};
constexpr std::array kInverseR1 = {1.334584505e+01, 1.472644573e+02,  -1.844024844e+01, 4.031129726e+00,  -6.249428360e-01,
                                   6.468412046e-02, -4.458750426e-03, 1.994710149e-04,  -5.313401790e-06, 6.481976217e-08};
constexpr std::array kInverseR2 = {-8.199599416e+01, 1.553962042e+02,  -8.342197663e+00,
                                   4.279433549e-01,  -1.191577910e-02, 1.492290091e-04};
constexpr std::array kInverseR3 = {3.406177836e+04, -7.023729171e+03, 5.582903813e+02, -1.952394635e+01, 2.560740231e-01};
constexpr std::array kInverseR = {Its90Polynomial{-0.226, 1.923, kInverseR0}, Its90Polynomial{1.923, 13.228, kInverseR1},
                                  Its90Polynomial{11.361, 19.739, kInverseR2}, Its90Polynomial{19.739, 21.103, kInverseR3}};

constexpr std::array kInverseS0 = {0.00000000e+00, 1.84949460e+02,  -8.00504062e+01, 1.02237430e+02,  -1.52248592e+02,
                                   1.88821343e+02, -1.59085941e+02, 8.23027880e+01,  -2.34181944e+01, 2.79786260e+00};
constexpr std::array kInverseS1 = {1.291507177e+01, 1.466298863e+02,  -1.534713402e+01, 3.145945973e+00,  -4.163257839e-01,
                                   3.187963771e-02, -1.291637500e-03, 2.183475087e-05,  -1.447379511e-07, 8.211272125e-09};
constexpr std::array kInverseS2 = {-8.087801117e+01, 1.621573104e+02,  -8.536869453e+00,
                                   4.719686976e-01,  -1.441693666e-02, 2.081618890e-04};
constexpr std::array kInverseS3 = {5.333875126e+04, -1.235892298e+04, 1.092657613e+03, -4.265693686e+01, 6.247205420e-01};
constexpr std::array kInverseS = {Its90Polynomial{-0.235, 1.874, kInverseS0}, Its90Polynomial{1.874, 11.950, kInverseS1},
                                  Its90Polynomial{10.332, 17.536, kInverseS2}, Its90Polynomial{17.536, 18.693, kInverseS3}};

constexpr std::array kInverseT0 = {0.0000000e+00, 2.5949192e+01, -2.1316967e-01, 7.9018692e-01,
                                   4.2527777e-01, 1.3304473e-01, 2.0241446e-02,  1.2668171e-03};
constexpr std::array kInverseT1 = {0.000000e+00,  2.592800e+01, -7.602961e-01, 4.637791e-02,
                                   -2.165394e-03, 6.048144e-05, -7.293422e-07};
constexpr std::array kInverseT = {Its90Polynomial{-5.603, 0.000, kInverseT0}, Its90Polynomial{0.000, 20.872, kInverseT1}};

}  // namespace

std::span<const Its90Polynomial> its90_inverse(ThermocoupleType type) noexcept {
    switch (type) {
        case ThermocoupleType::b:
            return kInverseB;
        case ThermocoupleType::e:
            return kInverseE;
        case ThermocoupleType::j:
            return kInverseJ;
        case ThermocoupleType::k:
            return kInverseK;
        case ThermocoupleType::n:
            return kInverseN;
        case ThermocoupleType::r:
            return kInverseR;
        case ThermocoupleType::s:
            return kInverseS;
        case ThermocoupleType::t:
            return kInverseT;
    }
    return {};
}

}  // namespace bakewright::probe
