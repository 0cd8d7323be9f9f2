// SPDX-License-Identifier: Apache-2.0
#include "sparse_cvode.hpp"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_klu.h>
#include <sunmatrix/sunmatrix_sparse.h>

#include <algorithm>
#include <stdexcept>
#include <string>

#include "rate_system.hpp"
#include "support/network_rates.hpp"

namespace bakewright::bench {
namespace {

using System = thermal::RateSystem<double>;

void require(int status, const char* what) {
    if (status < 0) throw std::runtime_error(std::string("CVODE failed in ") + what);
}

std::span<double> values_of(N_Vector vector) {
    return {N_VGetArrayPointer(vector), static_cast<std::size_t>(N_VGetLength(vector))};
}

/// What the callbacks see.
struct Problem {
    System system;
    const thermal::Network& network;
    const thermal::Segment* segment;
};

int rates(double time_s, N_Vector y, N_Vector dydt, void* user) {
    static_cast<const Problem*>(user)->system.rates(time_s, values_of(y), values_of(dydt));
    return 0;
}
int rates_of_correlations(double time_s, N_Vector y, N_Vector dydt, void* user) {
    const Problem& problem = *static_cast<const Problem*>(user);
    support::network_rates(problem.network, *problem.segment, time_s, values_of(y), values_of(dydt));
    return 0;
}

int jacobian(double time_s, N_Vector y, N_Vector, SUNMatrix matrix, void* user, N_Vector, N_Vector, N_Vector) {
    const System& system = static_cast<const Problem*>(user)->system;
    const thermal::SparsityPattern& pattern = system.pattern();
    std::copy(pattern.row_begin().begin(), pattern.row_begin().end(), SUNSparseMatrix_IndexPointers(matrix));
    std::copy(pattern.columns().begin(), pattern.columns().end(), SUNSparseMatrix_IndexValues(matrix));
    system.jacobian(time_s, values_of(y), {SUNSparseMatrix_Data(matrix), pattern.entry_count()});
    return 0;
}

}  // namespace

struct SparseCvode::Parts {
    Problem problem;
    const std::vector<thermal::Segment>& segments;
    double interval_s;
    SUNContext context = nullptr;
    N_Vector y = nullptr;
    void* cvode = nullptr;
    SUNMatrix matrix = nullptr;
    SUNLinearSolver solver = nullptr;

    void go_to(double time_s) {
        double reached_s = 0.0;
        require(CVode(cvode, time_s, y, &reached_s, CV_NORMAL), "CVode");
    }
};

SparseCvode::SparseCvode(const thermal::Network& network, const std::vector<thermal::Segment>& segments, double interval_s,
                         Correlations correlations, double relative_tolerance, double absolute_tolerance_k)
    : parts_(new Parts{{System(network, thermal::Accounts::leave_out), network, &segments.front()}, segments, interval_s}) {
    Parts& p = *parts_;
    System& system = p.problem.system;
    require(SUNContext_Create(nullptr, &p.context), "SUNContext_Create");
    const auto size = static_cast<sunindextype>(system.size());
    p.y = N_VNew_Serial(size, p.context);
    system.start(values_of(p.y));
    p.cvode = CVodeCreate(CV_BDF, p.context);
    require(CVodeInit(p.cvode, correlations == Correlations::tabulated ? rates : rates_of_correlations, segments.front().begin_s,
                      p.y),
            "CVodeInit");
    require(CVodeSStolerances(p.cvode, relative_tolerance, absolute_tolerance_k), "CVodeSStolerances");
    require(CVodeSetUserData(p.cvode, &p.problem), "CVodeSetUserData");
    require(CVodeSetMaxNumSteps(p.cvode, 1'000'000), "CVodeSetMaxNumSteps");
    p.matrix = SUNSparseMatrix(size, size, static_cast<sunindextype>(system.pattern().entry_count()), CSR_MAT, p.context);
    p.solver = SUNLinSol_KLU(p.y, p.matrix, p.context);
    require(SUNLinSol_KLUSetOrdering(p.solver, 0), "SUNLinSol_KLUSetOrdering");
    require(CVodeSetLinearSolver(p.cvode, p.solver, p.matrix), "CVodeSetLinearSolver");
    require(CVodeSetJacFn(p.cvode, jacobian), "CVodeSetJacFn");
}

SparseCvode::~SparseCvode() {
    CVodeFree(&parts_->cvode);
    SUNLinSolFree(parts_->solver);
    SUNMatDestroy(parts_->matrix);
    N_VDestroy(parts_->y);
    SUNContext_Free(&parts_->context);
}

void SparseCvode::solve(const thermal::Member<double>& member, const NodeObserver& observer) {
    Parts& p = *parts_;
    System& system = p.problem.system;
    system.set_member(member);
    system.start(values_of(p.y));
    const auto tell = [&](double time_s) { observer(time_s, values_of(p.y).first(system.node_count())); };
    const double start_s = p.segments.front().begin_s;
    tell(start_s);
    std::size_t next = 1;
    const auto next_s = [&] { return start_s + static_cast<double>(next) * p.interval_s; };
    for (const thermal::Segment& segment : p.segments) {
        system.set_segment(segment);
        p.problem.segment = &segment;
        require(CVodeReInit(p.cvode, segment.begin_s, p.y), "CVodeReInit");
        require(CVodeSetStopTime(p.cvode, segment.end_s), "CVodeSetStopTime");
        for (; next_s() < segment.end_s - 1e-9; ++next) {
            p.go_to(next_s());
            tell(next_s());
        }
        p.go_to(segment.end_s);
        tell(segment.end_s);
        if (next_s() <= segment.end_s + 1e-9) ++next;
    }
}

}  // namespace bakewright::bench
