#include "sparse_cvode.hpp"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_klu.h>
#include <sunmatrix/sunmatrix_sparse.h>

#include <algorithm>
#include <stdexcept>
#include <string>

#include "bakewright/thermal/rate_system.hpp"
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
    System& system;
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

/// CVODE set up for a system; lets go of everything at the end.
class Cvode {
public:
    Cvode(Problem& problem, Correlations correlations, double begin_s, double relative_tolerance, double absolute_tolerance_k) {
        System& system = problem.system;
        require(SUNContext_Create(nullptr, &context_), "SUNContext_Create");
        const auto size = static_cast<sunindextype>(system.size());
        y_ = N_VNew_Serial(size, context_);
        system.start(values_of(y_));
        cvode_ = CVodeCreate(CV_BDF, context_);
        require(CVodeInit(cvode_, correlations == Correlations::tabulated ? rates : rates_of_correlations, begin_s, y_),
                "CVodeInit");
        require(CVodeSStolerances(cvode_, relative_tolerance, absolute_tolerance_k), "CVodeSStolerances");
        require(CVodeSetUserData(cvode_, &problem), "CVodeSetUserData");
        require(CVodeSetMaxNumSteps(cvode_, 1'000'000), "CVodeSetMaxNumSteps");
        matrix_ = SUNSparseMatrix(size, size, static_cast<sunindextype>(system.pattern().entry_count()), CSR_MAT, context_);
        solver_ = SUNLinSol_KLU(y_, matrix_, context_);
        require(SUNLinSol_KLUSetOrdering(solver_, 0), "SUNLinSol_KLUSetOrdering");
        require(CVodeSetLinearSolver(cvode_, solver_, matrix_), "CVodeSetLinearSolver");
        require(CVodeSetJacFn(cvode_, jacobian), "CVodeSetJacFn");
    }
    Cvode(const Cvode&) = delete;
    Cvode& operator=(const Cvode&) = delete;
    ~Cvode() {
        CVodeFree(&cvode_);
        SUNLinSolFree(solver_);
        SUNMatDestroy(matrix_);
        N_VDestroy(y_);
        SUNContext_Free(&context_);
    }

    void restart(double begin_s, double end_s) {
        require(CVodeReInit(cvode_, begin_s, y_), "CVodeReInit");
        require(CVodeSetStopTime(cvode_, end_s), "CVodeSetStopTime");
    }
    void go_to(double time_s) {
        double reached_s = 0.0;
        require(CVode(cvode_, time_s, y_, &reached_s, CV_NORMAL), "CVode");
    }
    [[nodiscard]] std::span<const double> state() const { return values_of(y_); }

private:
    SUNContext context_ = nullptr;
    N_Vector y_ = nullptr;
    void* cvode_ = nullptr;
    SUNMatrix matrix_ = nullptr;
    SUNLinearSolver solver_ = nullptr;
};

}  // namespace

void solve_with_sparse_cvode(const thermal::Network& network, const std::vector<thermal::Segment>& segments, double interval_s,
                             Correlations correlations, double relative_tolerance, double absolute_tolerance_k, Rows& rows) {
    System system(network, thermal::Accounts::leave_out);
    Problem problem{system, network, &segments.front()};
    Cvode cvode(problem, correlations, segments.front().begin_s, relative_tolerance, absolute_tolerance_k);
    rows.clear();
    std::size_t next = 0;
    const auto next_s = [&] { return segments.front().begin_s + static_cast<double>(next) * interval_s; };
    const auto keep = [&] {
        const auto node_k = cvode.state().first(system.node_count());
        rows.insert(rows.end(), node_k.begin(), node_k.end());
        ++next;
    };
    keep();
    for (const thermal::Segment& segment : segments) {
        system.set_segment(segment);
        problem.segment = &segment;
        cvode.restart(segment.begin_s, segment.end_s);
        for (; next_s() < segment.end_s - 1e-6;) {
            cvode.go_to(next_s());
            keep();
        }
        cvode.go_to(segment.end_s);
        if (next_s() < segment.end_s + 1e-6) keep();
    }
}

}  // namespace bakewright::bench
