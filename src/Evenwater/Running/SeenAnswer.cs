using Evenwater.Page;
using Microsoft.Extensions.DependencyInjection;

namespace Evenwater.Running;

/// <summary>An answer that goes to the page when the page can show what came of it: beside "the valve is closed" it had shown the valve of a second ago, open.</summary>
internal static class SeenAnswer
{
    /// <summary>Longer than views are apart; whoever asked is answered then, whatever is shown.</summary>
    private const int MostMilliseconds = 1500;

    private const int LookEveryMilliseconds = 10;

    /// <summary>The same answer, once the turn that gave it, or a later one, is on the board.</summary>
    /// <param name="services">The program's.</param>
    /// <param name="station">Which station was asked.</param>
    /// <param name="asked">What it was asked.</param>
    public static async Task<T> Of<T>(IServiceProvider services, string station, Task<T> asked)
    {
        var answer = await asked;
        var board = services.GetRequiredService<StationBoard>();
        var turn = services.GetRequiredService<StationDirectory>().Find(station)?.LastTurn ?? default;
        for (var waited = 0; waited < MostMilliseconds && board.Find(station) is { View.Turned: var shown } && shown < turn; waited += LookEveryMilliseconds)
        {
            await Task.Delay(LookEveryMilliseconds);
        }

        return answer;
    }
}
