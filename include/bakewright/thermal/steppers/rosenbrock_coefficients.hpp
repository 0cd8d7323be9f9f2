#pragma once

#include <array>
#include <cstddef>

namespace bakewright::thermal {

inline constexpr std::size_t kRosenbrockStages = 6;

/// Coefficients of a stiffly accurate Rosenbrock method of order 4 with an embedded method of order 3, in the transformed
/// variables that need no multiplication by the Jacobian (Hairer & Wanner, Solving Ordinary Differential Equations II, 2nd ed.,
/// 1996, section IV.7, eq. (7.25)):
///
///     (I / (gamma h) - J) u_i = f(t + alpha_i h, y + sum_j a_ij u_j) + sum_j (c_ij / h) u_j + d_i h df/dt
///     y_1 = y + sum_j a_6j u_j + u_6,   error estimate = u_6
///     y(t + theta h) = (1 - theta) y + theta (y_1 + (1 - theta) (D_1 + theta D_2)),   D_k = sum_j dense_kj u_j
struct RosenbrockCoefficients {
    using Row = std::array<double, kRosenbrockStages>;
    double gamma;
    std::array<Row, kRosenbrockStages> a, c;
    Row alpha, d;
    std::array<Row, 2> dense;
};

/// RODAS: Hairer & Wanner, section IV.10, code RODAS. Mind d_4 = -0.0362: Boost 1.74's rosenbrock4 has it positive, which leaves
/// order one where the right-hand side names the time.
inline constexpr RosenbrockCoefficients kRodas{
    0.25,
    {{{},
      {1.544},
      {0.9466785280815826, 0.2557011698983284},
      {3.314825187068521, 2.896124015972201, 0.9986419139977817},
      {1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950},
      {1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950, 1.0}}},
    {{{},
      {-5.6688},
      {-2.430093356833875, -0.2063599157091915},
      {-0.1073529058151375, -9.594562251023355, -20.47028614809616},
      {7.496443313967647, -10.24680431464352, -33.99990352819905, 11.70890893206160},
      {8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054}}},
    {0.0, 0.386, 0.21, 0.63, 1.0, 1.0},
    {0.25, -0.1043, 0.1035, -0.0362, 0.0, 0.0},
    {{{10.12623508344586, -7.487995877610167, -34.80091861555747, -7.992771707568823, 1.025137723295662, 0.0},
      {-0.6762803392801253, 6.087714651680015, 16.43084320892478, 24.76722511418386, -6.594389125716872, 0.0}}}};

/// RODASP2: Steinebach, Improvement of Rosenbrock-Wanner method RODASP, in: Reis et al. (eds.), Progress in
/// Differential-Algebraic Equations II, Springer, 2020, pp. 165-184. Keeps its order better where the slow part of the solution
/// is driven from outside through stiff links, as air drives a thin skin, and did so at no cost on networks of 34 and 306 nodes
/// (docs/solvers.md): the default.
inline constexpr RosenbrockCoefficients kRodasp2{
    0.25,
    {{{},
      {3.0},
      {0.906377755268814, -0.189707390391685},
      {3.758617027739064, 1.161741776019525, -0.849258085312803},
      {7.089566927282776, 4.573591406461604, -8.423496976860259, -0.959280113459775},
      {7.089566927282776, 4.573591406461604, -8.423496976860259, -0.959280113459775, 1.0}}},
    {{{},
      {-12.0},
      {-6.354581592719008, 0.338972550544623},
      {-8.575016317114033, -7.606483992117508, 12.224997650124820},
      {-5.888975457523102, -8.157396617841821, 24.805546872612922, 12.790401512796979},
      {-4.408651676063871, -6.692003137674639, 24.625568527593117, 16.627521966636085, -5.714285714285718}}},
    {0.0, 0.75, 0.321448134013046, 0.519745732277726, 1.0, 1.0},
    {0.25, -0.5, -0.189532918363016, 0.085612108792769, 0.0, 0.0},
    {{{-5.323528268423303, -10.042123754867493, 17.175254928256965, -5.079931171878093, -0.016185991706112, 0.0},
      {6.984505741529879, 6.914061169603662, -0.849178943070653, 18.104410789349338, -3.516963011559032, 0.0}}}};

}  // namespace bakewright::thermal
