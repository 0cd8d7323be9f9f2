#pragma once

#include <complex>
#include <span>
#include <vector>

#include "bakewright/thermal/slab.hpp"

namespace bakewright::thermal {

/// Face temperatures of a stack by Laplace transform, kept at the points that the inversion needs, so that one exact stack is
/// compared with many sets of nodes.
class SlabResponse {
public:
    SlabResponse(std::span<const StackLayer> layers, const SplitRequest& request);

    /// Range of the error of nodes against the exact stack during and after a ramp [K].
    [[nodiscard]] SplitError error_of(const SlabSplit& split) const;

private:
    using Complex = std::complex<double>;
    /// [T, q] at the outer face = chain [T, q] at the inner face, T a temperature and q the heat flux inward.
    struct Chain {
        Complex a{1.0}, b{0.0}, c{0.0}, d{1.0};
        void append_layer(const StackLayer& layer, Complex s);
        void append_capacity(Complex capacity_s);
        void append_resistance(double resistance);
    };
    /// Temperatures of both faces for unit air temperatures: outer air alone, and air on both sides.
    struct Faces {
        Complex outer_by_outer, inner_by_outer, outer_by_both, inner_by_both;
    };

    [[nodiscard]] Faces faces(const Chain& chain) const;
    [[nodiscard]] Faces faces_of(std::span<const StackLayer> layers, Complex s) const;
    [[nodiscard]] Faces faces_of(const SlabSplit& split, Complex s) const;

    SplitRequest request_;
    std::vector<double> times_s_;
    std::vector<Complex> points_;  ///< kTerms a time
    std::vector<Complex> weights_;
    std::vector<Faces> exact_;
};

}  // namespace bakewright::thermal
