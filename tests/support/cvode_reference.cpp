// SPDX-License-Identifier: Apache-2.0
#include "support/cvode_reference.hpp"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <memory>
#include <stdexcept>

#include "support/network_rates.hpp"

namespace bakewright::support {
namespace {

using thermal::Network;
using thermal::Segment;

struct Problem {
    const Network* network;
    const Segment* segment;
};

int rates(double time_s, N_Vector y, N_Vector dydt, void* user) {
    const Problem& problem = *static_cast<const Problem*>(user);
    const auto values = [](N_Vector vector) {
        return std::span<double>(N_VGetArrayPointer(vector), static_cast<std::size_t>(N_VGetLength(vector)));
    };
    network_rates(*problem.network, *problem.segment, time_s, values(y), values(dydt));
    return 0;
}

void require(int status, const char* what) {
    if (status < 0) throw std::runtime_error(std::string("CVODE failed in ") + what);
}

}  // namespace

CvodeSolution solve_with_cvode(const Network& network, std::span<const Segment> segments, std::span<const double> output_s,
                               double relative_tolerance, double absolute_tolerance_k) {
    if (network.has_switches()) throw std::invalid_argument("heaters that switch are not in the reference");
    SUNContext raw_context = nullptr;
    require(SUNContext_Create(nullptr, &raw_context), "SUNContext_Create");
    const auto size = static_cast<sunindextype>(network.node_count() + network.heaters().size());
    N_Vector y = N_VNew_Serial(size, raw_context);
    N_VConst(0.0, y);
    for (std::size_t i = 0; i < network.node_count(); ++i) N_VGetArrayPointer(y)[i] = network.nodes()[i].start_k;
    Problem problem{&network, &segments.front()};
    void* cvode = CVodeCreate(CV_BDF, raw_context);
    require(CVodeInit(cvode, rates, segments.front().begin_s, y), "CVodeInit");
    require(CVodeSStolerances(cvode, relative_tolerance, absolute_tolerance_k), "CVodeSStolerances");
    require(CVodeSetUserData(cvode, &problem), "CVodeSetUserData");
    require(CVodeSetMaxNumSteps(cvode, 1'000'000), "CVodeSetMaxNumSteps");
    SUNMatrix matrix = SUNDenseMatrix(size, size, raw_context);
    SUNLinearSolver solver = SUNLinSol_Dense(y, matrix, raw_context);
    require(CVodeSetLinearSolver(cvode, solver, matrix), "CVodeSetLinearSolver");

    CvodeSolution solution;
    const auto keep = [&](double time_s) {
        solution.time_s.push_back(time_s);
        const double* values = N_VGetArrayPointer(y);
        solution.node_k.emplace_back(values, values + network.node_count());
    };
    std::size_t next = 0;
    if (next < output_s.size() && output_s[next] <= segments.front().begin_s) {
        keep(output_s[next]);
        ++next;
    }
    for (const Segment& segment : segments) {
        problem.segment = &segment;
        require(CVodeReInit(cvode, segment.begin_s, y), "CVodeReInit");
        require(CVodeSetStopTime(cvode, segment.end_s), "CVodeSetStopTime");
        double reached_s = segment.begin_s;
        for (; next < output_s.size() && output_s[next] < segment.end_s; ++next) {
            require(CVode(cvode, output_s[next], y, &reached_s, CV_NORMAL), "CVode");
            keep(output_s[next]);
        }
        if (reached_s < segment.end_s) require(CVode(cvode, segment.end_s, y, &reached_s, CV_NORMAL), "CVode");
        if (next < output_s.size() && output_s[next] == segment.end_s) {
            keep(output_s[next]);
            ++next;
        }
    }
    SUNLinSolFree(solver);
    SUNMatDestroy(matrix);
    CVodeFree(&cvode);
    N_VDestroy(y);
    SUNContext_Free(&raw_context);
    return solution;
}

}  // namespace bakewright::support
